import type { Estimate } from "../../measurement/index.ts";
import type { SeriesPartial, SeriesResult } from "../../series/index.ts";

type Cell = string | number | null;

const HEAD = [
  "bell",
  "strike note target (Hz)",
  "pass",
  "date",
  "recordings",
  "removed (g)",
  "removed (mm)",
  "removed at",
  "metal (C)",
  "air (C)",
  "partial",
  "frequency (Hz)",
  "frequency 95 % half-width (Hz)",
  "target (Hz)",
  "deviation (cents)",
  "deviation 95 % half-width (cents)",
  "decay time (s)",
  "decay time 95 % half-width (s)",
];

/** So that spreadsheets take the text for UTF-8. */
const MARK = "\ufeff";

/**
 * A series as a table for spreadsheets (RFC 4180): a row for each partial of each pass of each bell, a bare row for a pass
 * that could not be measured. Numbers are plain, with a decimal point; a text that a spreadsheet would take for a formula
 * is led by an apostrophe.
 */
export function seriesCsv({ bells }: SeriesResult): string {
  const rows = bells.flatMap(({ name, targetHz, passes }) =>
    passes.flatMap((pass, i) => {
      const lead: Cell[] = [
        ...[name, short(targetHz), i + 1, pass.date, pass.recordings.join("; ")],
        ...[pass.removedG, pass.removedMm, pass.at, pass.metalC, pass.airC],
      ];
      if (pass.partials.length === 0)
        return [[...lead, ...Array<Cell>(HEAD.length - lead.length).fill(null)]];
      return pass.partials.map((partial) => [...lead, ...partialCells(partial)]);
    }),
  );
  return `${MARK}${[HEAD, ...rows].map((row) => row.map(written).join(",")).join("\r\n")}\r\n`;
}

function partialCells({ name, frequencyHz, targetHz, deviationCents, decayTimeS }: SeriesPartial): Cell[] {
  return [name, ...both(frequencyHz), short(targetHz), ...both(deviationCents), ...both(decayTimeS)];
}

const DIGITS = 10;
const short = (value: number): number => Number(value.toPrecision(DIGITS));
const both = ({ value, ci95 }: Estimate): number[] => [short(value), Number(ci95.toPrecision(3))];

/** What begins so is run as a formula by common spreadsheets. */
const FORMULA = /^[\s]*[=+\-@\t\r]/;

function written(cell: Cell): string {
  if (cell === null) return "";
  if (typeof cell === "number") return String(cell);
  const text = FORMULA.test(cell) ? `'${cell}` : cell;
  return /[",\r\n;]/.test(text) || text !== text.trim() ? `"${text.replaceAll('"', '""')}"` : text;
}
