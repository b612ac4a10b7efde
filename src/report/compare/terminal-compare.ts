import type { Comparison, Pair } from "../../compare/index.ts";
import { type Estimate, nearHz, readable } from "../../measurement/index.ts";
import { countOf } from "../numbers.ts";
import { block, foreignToTerminal } from "../terminal/block.ts";
import { cut, printable, wrap } from "../terminal/cells.ts";
import { type TextColumn, textTable } from "../terminal/columns.ts";
import { estimateCells } from "../terminal/estimate-cells.ts";
import { findingLines } from "../terminal/findings.ts";
import { makePaint, type Paint } from "../terminal/paint.ts";
import { castingName, type TwoView } from "./view.ts";
import { factsText } from "./words.ts";

export interface CompareLook {
  /** Columns of the terminal; null where the output goes to a file or a pipe. */
  width: number | null;
  colour: boolean;
}

const USUAL_WIDTH = 80;
const LEAST_WIDTH = 40;
const MOST_WIDTH = 100;
/** A longer name is cut, on a narrow terminal sooner. */
const MOST_NAME = 22;
const MOST_NAME_NARROW = 12;
const NARROW = 60;

type Told = Pick<TwoView, "two" | "a" | "b">;

function columns({ two: { pairs }, a }: Told, width: number): TextColumn[] {
  const estimates = (head: string, values: Estimate[], dropOrder: number, signed = false): TextColumn => {
    return { head, align: "left", cells: estimateCells(values, signed), dropOrder };
  };
  const hertz = (side: Pair["a"]) => readable(side.frequencyHz, "frequency");
  const beyond = pairs.map(({ beyondStrikeSpread: is }) => (is === null ? "?" : is ? "yes" : "no"));
  return [
    {
      head: "partial",
      align: "left",
      cells: pairs.map(({ name }) => cut(printable(name), width < NARROW ? MOST_NAME_NARROW : MOST_NAME)),
      dropOrder: 0,
    },
    estimates(
      `${a.letter} Hz`,
      pairs.map((pair) => hertz(pair.a)),
      4,
    ),
    estimates(
      "cents",
      pairs.map(({ cents }) => readable(cents, "cents")),
      0,
      true,
    ),
    estimates(
      `${a.letter} T60 s`,
      pairs.map((pair) => readable(pair.a.decayTimeS, "time")),
      3,
    ),
    estimates(
      "T60 ratio",
      pairs.map(({ decayRatio }) => readable(decayRatio, "times")),
      1,
    ),
    { head: "beyond", align: "left", cells: beyond, dropOrder: 2 },
  ];
}

function pairLines(told: Told, width: number, paint: Paint): string[] {
  const { two, a, b } = told;
  if (two.pairs.length === 0) return [];
  const { lines, dropped } = textTable(columns(told, width), width);
  const alone = (casting: "a" | "b") =>
    two.unpaired
      .filter((each) => each.casting === casting)
      .map(({ name, frequencyHz }) => `${name === null ? "" : `${name} `}${nearHz(frequencyHz.value)}`);
  const unpaired = [
    { letter: a.letter, partials: alone("a") },
    { letter: b.letter, partials: alone("b") },
  ].flatMap(({ letter, partials }) =>
    partials.length === 0 ? [] : [`${letter}, near Hz: ${partials.join(", ")}`],
  );
  const legend = `${b.letter} over ${a.letter}; beyond: more than strikes of one casting differ, ? where only one strike was recorded`;
  return [
    "",
    paint(lines[0], "bold"),
    ...lines.slice(1),
    ...wrap(`(${legend})`, width, 1).map((line) => paint(line, "dim")),
    ...(dropped.length === 0 ? [] : [paint(`(no room for: ${dropped.join(", ")})`, "dim")]),
    ...block("Unpaired", unpaired, width, paint),
  ];
}

function toldLines(told: Told, width: number, paint: Paint): string[] {
  return [
    ...wrap(foreignToTerminal(told.two.result.text), width, 0).map((line) => paint(line, "bold")),
    ...pairLines(told, width, paint),
    ...findingLines(told.two.findings, width, paint),
  ];
}

/**
 * A comparison for a terminal: the castings, the result in plain words, the table of pairs, unpaired partials, findings;
 * further castings one after the other. Lines are at most `width` cells long (40 to 100; 80 where the width is not known).
 * Ends with a line feed.
 */
export function terminalCompare(comparison: Comparison, look: CompareLook): string {
  const width = Math.min(MOST_WIDTH, Math.max(LEAST_WIDTH, look.width ?? USUAL_WIDTH));
  const paint = makePaint(look.colour);
  const { castings, scenario, more } = comparison;
  const line = (text: string) => wrap(foreignToTerminal(text), width, 2);
  const ordered = [...castings].sort((x, y) => x.letter.localeCompare(y.letter));
  const files = (recordings: readonly string[]) =>
    recordings.length > 3 ? countOf(recordings.length, "recording") : recordings.join(", ");
  return [
    ...(scenario === null
      ? []
      : [...line(`Invented, synthetic. ${scenario}`).map((each) => paint(each, "bold")), ""]),
    ...ordered.flatMap((casting) =>
      line(`${castingName(casting)}: ${factsText(casting)}, ${files(casting.recordings)}`),
    ),
    ...[comparison, ...more].flatMap((two) => [
      "",
      ...toldLines({ two, a: castings[two.a], b: castings[two.b] }, width, paint),
    ]),
    "",
  ].join("\n");
}
