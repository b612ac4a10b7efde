import {
  type Estimate,
  formatEstimateParts,
  nearHz,
  readable,
  type TapMeasurement,
  type TapPartial,
} from "../../measurement/index.ts";
import { countOf, listOf } from "../numbers.ts";
import { block, foreignToTerminal } from "../terminal/block.ts";
import { cut, padStart, printable, wrap } from "../terminal/cells.ts";
import { type TextColumn, textTable } from "../terminal/columns.ts";
import { estimateCells } from "../terminal/estimate-cells.ts";
import { findingLines } from "../terminal/findings.ts";
import { makePaint, type Paint } from "../terminal/paint.ts";
import { codingText, recordingNotes, strikeNotes } from "./recording-tables.ts";
import {
  attentionLine,
  beatText,
  bellLabel,
  clockNote,
  headline,
  notFound,
  partialTitle,
  unnamedNote,
} from "./words.ts";

export interface TerminalLook {
  /** Columns of the terminal; null where the output goes to a file or a pipe. */
  width: number | null;
  colour: boolean;
}

const USUAL_WIDTH = 80;
const LEAST_WIDTH = 40;
/** A longer line is hard to read, however wide the window. */
const MOST_WIDTH = 100;
/** A name given by the user may be of any length. */
const MOST_NAME = 16;

/** A ratio to no more digits than its interval allows, four decimals at most. */
function ratioCell({ ratio }: TapPartial): string {
  const { value } = formatEstimateParts(readable(ratio, "interval"));
  const decimals = value.split(".")[1]?.length ?? 0;
  return decimals > 4 ? ratio.value.toFixed(4) : value;
}

function columns({ partials }: TapMeasurement): TextColumn[] {
  const estimates = (head: string, values: (Estimate | null)[], dropOrder: number, signed = false) => {
    return { head, align: "left" as const, cells: estimateCells(values, signed), dropOrder };
  };
  const numberSize = `${partials.length}`.length;
  const names = partials.map(({ name }, i) => {
    return `${padStart(`${i + 1}`, numberSize)} ${name === null ? "-" : cut(printable(name), MOST_NAME)}`;
  });
  const levels = partials.map((p) => p.levelDb.value.toFixed(0).replace(/^-0$/, "0"));
  const cents = partials.map(({ deviationCents: d }) => d && readable(d, "cents"));
  const hertz = partials.map((p) => readable(p.frequencyHz, "frequency"));
  const seconds = partials.map((p) => readable(p.decayTimeS, "time"));
  return [
    { head: "partial", align: "left", cells: names, dropOrder: 0 },
    estimates("Hz", hertz, 0),
    { head: "ratio", align: "right", cells: partials.map(ratioCell), dropOrder: 4 },
    estimates("cents", cents, 2, true),
    estimates("T60 s", seconds, 1),
    { head: "dB", align: "right", cells: levels, dropOrder: 3 },
  ];
}

function partialLines(m: TapMeasurement, width: number, paint: Paint): string[] {
  if (m.partials.length === 0) return [];
  const { lines, dropped } = textTable(columns(m), width);
  const split = m.partials.flatMap(({ doublet }, i) =>
    doublet === null
      ? []
      : [`${m.partials[i]!.name === null ? "" : `${i + 1} `}${partialTitle(m, i)}: ${beatText(doublet)}`],
  );
  const named = m.partials.some(({ name }) => name !== null);
  const missing = listOf(notFound(m).map(({ name }) => name));
  const sure = m.partials.flatMap(({ name, nameConfidence: c }) =>
    name === null || c === null ? [] : [`${name} ${Math.round(100 * c)}%`.replaceAll(" ", "\u00a0")],
  );
  return [
    "",
    paint(lines[0]!, "bold"),
    ...lines.slice(1),
    ...(dropped.length === 0 ? [] : [paint(`(no room for: ${dropped.join(", ")})`, "dim")]),
    ...block("Sure of the names", sure.length === 0 ? [] : [sure.join(", ")], width, paint),
    ...block("Expected by the profile, not found", named && missing !== "" ? [missing] : [], width, paint),
    ...block("Names", named ? [] : [unnamedNote(m)], width, paint),
    ...block("Splits", split, width, paint),
  ];
}

function recordingItems(m: TapMeasurement): string[] {
  const files = m.recordings.map((each) => {
    const notes = recordingNotes(each).map((note) => `; ${note}`);
    return `${each.file}: ${codingText(each)}, ${each.durationS.toFixed(1)} s, ${each.channelUse}${notes.join("")}`;
  });
  const strikes = m.strikes.flatMap((strike, i) => {
    const notes = strikeNotes(strike);
    return notes.length === 0
      ? []
      : [`strike ${i + 1} at ${strike.onsetS.toFixed(2)} s: ${notes.join(", ")}`];
  });
  const used = m.strikes.filter((strike) => strike.leftOut === null).length;
  const count =
    m.strikes.length === 0 ? "no strike found" : `${countOf(m.strikes.length, "strike")} found, ${used} used`;
  const isTold = m.findings.some(({ text }) => m.fit.note !== null && text.includes(m.fit.note));
  const notes = [isTold ? null : m.fit.note, clockNote(m)].flatMap((note) => note ?? []);
  return [...files, count, ...strikes, ...notes];
}

/**
 * The measurement for a terminal: one sentence, what asks for attention, the table of partials with their splits, interference and combinations,
 * the findings with what asks for attention first, notes on the recording. Lines are at most `width` cells long
 * (40 to 100; 80 where the width is not known). Nothing is told by colour alone. Ends with a line feed.
 */
export function terminalSummary(m: TapMeasurement, look: TerminalLook): string {
  const width = Math.min(MOST_WIDTH, Math.max(LEAST_WIDTH, look.width ?? USUAL_WIDTH));
  const paint = makePaint(look.colour);
  const sentence = wrap(foreignToTerminal(`${headline(m, bellLabel(m), true)}.`), width, 0);
  const attention = attentionLine(m.findings);
  const near = ({ frequencyHz, levelDb, text }: { frequencyHz: number; levelDb: number; text: string }) =>
    `near ${nearHz(frequencyHz)} Hz, about ${Math.round(levelDb)} dB: ${text}`;
  return [
    ...sentence.map((line) => paint(line, "bold")),
    ...(attention === null
      ? []
      : wrap(foreignToTerminal(`! ${attention}`), width, 2).map((line) => paint(line, "bold", "red"))),
    ...partialLines(m, width, paint),
    ...block("Interference", m.interference.map(near), width, paint),
    ...block("Combinations", m.combinations.map(near), width, paint),
    ...findingLines(m.findings, width, paint, true),
    ...block("Recording", recordingItems(m), width, paint),
    "",
  ].join("\n");
}
