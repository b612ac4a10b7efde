import { CUTTING_CAUTIONS, type SeriesResult } from "../../series/index.ts";
import { countOf, estimateText } from "../numbers.ts";
import { cut, printable, wrap } from "../terminal/cells.ts";
import { type TextColumn, textTable } from "../terminal/columns.ts";
import { makePaint } from "../terminal/paint.ts";
import {
  centsText,
  lastMeasured,
  nextCutText,
  partialNames,
  STATED_INTERVALS,
  targetText,
  temperatureText,
  tuningText,
} from "./words.ts";

export interface SeriesLook {
  /** Columns of the terminal; null where the output goes to a file or a pipe. */
  width: number | null;
  colour: boolean;
}

const USUAL_WIDTH = 80;
const LEAST_WIDTH = 40;
/** A table of many partials may use a wide screen. */
const MOST_WIDTH = 160;
const MOST_TEXT = 100;
const MOST_NAME = 18;

/** A series for a terminal: what asks for attention, deviations, intervals, decay times, next cuts. Ends with a line feed. */
export function terminalSeries(result: SeriesResult, look: SeriesLook): string {
  const width = Math.min(MOST_WIDTH, Math.max(LEAST_WIDTH, look.width ?? USUAL_WIDTH));
  const textWidth = Math.min(width, MOST_TEXT);
  const paint = makePaint(look.colour);
  const paragraph = (text: string, indent = 0) =>
    wrap(text.split("\u00a0").map(printable).join("\u00a0"), textWidth, indent);
  const attention = result.findings.filter(({ outcome }) => outcome === "attention");
  const notes = result.findings.filter(({ outcome }) => outcome === "note");
  const temperature = temperatureText(result);
  const tables = [deviations(result), intervals(result), decays(result)];
  return [
    paint(paragraph(`${result.set}: ${countOf(result.bells.length, "bell")}`)[0]!, "bold"),
    ...paragraph(tuningText(result)),
    ...(temperature === null ? [] : paragraph(temperature)),
    ...attention
      .flatMap(({ title, text }) => paragraph(`! ${title}: ${text}`, 2))
      .map((line) => paint(line, "bold", "red")),
    ...notes.flatMap(({ title, text }) => paragraph(`- ${title}: ${text}`, 2)),
    ...tables.flatMap(({ caption, columns }) => {
      if (columns[0]!.cells.length === 0) return [];
      const { lines, dropped } = textTable(columns, width);
      const rest = dropped.length === 0 ? [] : paragraph(`No room for: ${dropped.reverse().join(", ")}.`);
      return ["", ...paragraph(caption), paint(lines[0]!, "bold"), ...lines.slice(1), ...rest];
    }),
    "",
    paint("Next cuts", "bold"),
    ...result.bells.flatMap((bell) => paragraph(`- ${bell.name}: ${nextCutText(bell)}`, 2)),
    ...paragraph(STATED_INTERVALS),
    ...(result.bells.some(({ nextCut }) => nextCut !== null)
      ? [
          "",
          paint("Before you cut", "bold"),
          ...CUTTING_CAUTIONS.flatMap((each) => paragraph(`- ${each}`, 2)),
        ]
      : []),
    "",
  ].join("\n");
}

interface Table {
  caption: string;
  columns: TextColumn[];
}

const words = (head: string, cells: string[]): TextColumn => ({
  head,
  align: "left",
  cells: cells.map((cell) => cut(printable(cell), MOST_NAME)),
  dropOrder: 0,
});

const numbers = (head: string, cells: string[], dropOrder: number): TextColumn => ({
  head: cut(printable(head), MOST_NAME),
  align: "right",
  cells: cells.map(printable),
  dropOrder,
});

function deviations(result: SeriesResult): Table {
  const bells = result.bells.filter(lastMeasured);
  return {
    caption: "Cents from target, last pass.",
    columns: [
      words(
        "bell",
        bells.map(({ name }) => name),
      ),
      numbers("target", bells.map(targetText), 0),
      numbers(
        "mean",
        bells.map(({ meanCents }) => centsText(meanCents)),
        1,
      ),
      ...partialNames(result).map((partial, i) =>
        numbers(
          partial,
          bells.map((bell) =>
            centsText(
              lastMeasured(bell)!.partials.find(({ name }) => name === partial)?.deviationCents ?? null,
            ),
          ),
          2 + i,
        ),
      ),
    ],
  };
}

/** Errors of the intervals between neighbours: a row for each pair, a column for each partial. */
function intervals(result: SeriesResult): Table {
  const pairs = [...new Map(result.intervals.map((each) => [`${each.from}\n${each.to}`, each])).values()];
  return {
    caption: "Cents that the intervals between neighbours are too wide (+) or too narrow (\u2212).",
    columns: [
      words(
        "from",
        pairs.map(({ from }) => from),
      ),
      words(
        "to",
        pairs.map(({ to }) => to),
      ),
      ...partialNames(result).map((partial, i) =>
        numbers(
          partial,
          pairs.map(({ from, to }) => {
            const found = result.intervals.find(
              (each) => each.from === from && each.to === to && each.partial === partial,
            );
            return centsText(found?.errorCents ?? null);
          }),
          1 + i,
        ),
      ),
    ],
  };
}

function decays({ decaySpread }: SeriesResult): Table {
  return {
    caption: "Decay times over the set (60 dB), and the spread of the loss factor, which allows for pitch.",
    columns: [
      words(
        "partial",
        decaySpread.map(({ partial }) => partial),
      ),
      numbers(
        "bells",
        decaySpread.map(({ bells }) => String(bells)),
        3,
      ),
      numbers(
        "shortest",
        decaySpread.map(({ shortestS }) => estimateText(shortestS, "time", "s")),
        1,
      ),
      numbers(
        "longest",
        decaySpread.map(({ longestS }) => estimateText(longestS, "time", "s")),
        0,
      ),
      numbers(
        "spread",
        decaySpread.map(({ spreadPercent }) => estimateText(spreadPercent, "percent", "%")),
        2,
      ),
    ],
  };
}
