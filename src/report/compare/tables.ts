import type { Comparison, Pair } from "../../compare/index.ts";
import type { Estimate } from "../../measurement/index.ts";
import { moreNumbers } from "../figure.ts";
import { foreign, type Html, type HtmlValue, html } from "../html.ts";
import {
  decayText,
  estimateText,
  FINEST_CENTS,
  FINEST_HZ,
  FINEST_RATIO,
  NOT_MEASURED,
  noFiner,
  plainNumber,
  signedEstimateText,
} from "../numbers.ts";
import { plainRows, type TableColumn, table } from "../table.ts";
import { markOfPair, type TwoView } from "./view.ts";
import { changedText } from "./words.ts";

const number = (head: HtmlValue): TableColumn => ({ head, kind: "number" });
const text = (head: HtmlValue): TableColumn => ({ head, kind: "text" });

/** Finest interval of a level in a table: a blow is never the same to less. */
const FINEST_DB = 0.1;
/** Finest interval of a ratio of whole sounds. */
const FINEST_WHOLE = 0.01;

/** The castings and what the user says of them. */
export function castingsTable({ castings }: Comparison): Html {
  const milli = ({ value, ci95 }: Estimate) => ({ value: 1000 * value, ci95: 1000 * ci95 });
  return table({
    caption: "The castings as they were given; alloy, mass and diameter are not measured here.",
    name: "Castings",
    columns: [
      text("casting"),
      text("called"),
      text("alloy, mass %"),
      number("mass, kg"),
      number("mouth, mm"),
      number("strikes used"),
      text("recordings"),
    ],
    rows: plainRows(
      [...castings]
        .sort((x, y) => x.letter.localeCompare(y.letter))
        .map(({ letter, label, alloy, massKg, diameterM, strikes, recordings }) => [
          letter,
          foreign(label),
          alloy === null ? NOT_MEASURED : foreign(alloy),
          estimateText(massKg),
          estimateText(diameterM === null ? null : milli(diameterM)),
          strikes,
          foreign(recordings.join(", ")),
        ]),
    ),
  });
}

/** The table both readers use: every pair with what changed. */
export function pairsTable(view: TwoView): Html {
  const { two, a, b } = view;
  const spreadKnown = two.pairs.every(({ beyondStrikeSpread }) => beyondStrikeSpread !== null);
  const spread = spreadKnown
    ? "that of a change holds the spread between strikes."
    : "with one strike of a casting the spread between strikes is not known, and changes are held against the fits alone.";
  return table({
    caption: html`${two.pairs.length} pairs. \u00b1 is the half-width of the 95\u00a0% interval; ${spread} No interval holds the recorders' clocks; where there were two, they may differ by 0.2\u00a0cents (from memory). Where both partials are split, frequency and decay are those of the middle between the members. Choose a partial to hear it of ${a.letter}, then of ${b.letter}.`,
    name: `Partials of ${a.letter} and ${b.letter}`,
    columns: [
      text("partial"),
      number(`${a.letter}, Hz`),
      number(`${b.letter}, Hz`),
      number("change, cents"),
      number(html`${a.letter}, T<sub>60</sub> s`),
      number(html`${b.letter}, T<sub>60</sub> s`),
      number(html`T<sub>60</sub> ratio`),
      text(spreadKnown ? "changed beyond strike spread" : "changed beyond the fits"),
    ],
    rows: two.pairs.map((pair, i) => ({
      cells: [
        foreign(pair.name),
        estimateText(noFiner(pair.a.frequencyHz, FINEST_HZ)),
        estimateText(noFiner(pair.b.frequencyHz, FINEST_HZ)),
        signedEstimateText(noFiner(pair.cents, FINEST_CENTS / 10)),
        decayText(pair.a.decayTimeS),
        decayText(pair.b.decayTimeS),
        estimateText(pair.decayRatio),
        changedText(pair),
      ],
      mark: markOfPair(view, i),
    })),
  });
}

/** What the acoustician wants besides: ratio, Q, loss factor, splits, and how each pair was found. */
export function acousticsTable({ two, a, b }: TwoView): Html {
  const split = ({ splitHz }: Pair["a"]) => (splitHz === null ? "one line" : estimateText(splitHz));
  const found = table({
    caption: "By what every pair was paired, its frequency ratio and its splits.",
    name: `Pairing and splits of ${a.letter} and ${b.letter}`,
    columns: [
      text("partial"),
      text("paired by"),
      number("f ratio"),
      number(`${a.letter}, split Hz`),
      number(`${b.letter}, split Hz`),
      number("split difference, Hz"),
    ],
    rows: plainRows(
      two.pairs.map((pair) => [
        foreign(pair.name),
        pair.pairedBy,
        estimateText(noFiner(pair.frequencyRatio, FINEST_RATIO)),
        split(pair.a),
        split(pair.b),
        signedEstimateText(pair.splitDifferenceHz),
      ]),
    ),
  });
  const damping = table({
    caption: "Damping of every pair; the loss factor is 1/Q.",
    name: `Damping of ${a.letter} and ${b.letter}`,
    columns: [
      text("partial"),
      number(`${a.letter}, Q`),
      number(`${b.letter}, Q`),
      number("Q ratio"),
      number(`${a.letter}, loss factor`),
      number(`${b.letter}, loss factor`),
    ],
    rows: plainRows(
      two.pairs.map((pair) => [
        foreign(pair.name),
        estimateText(pair.a.q),
        estimateText(pair.b.q),
        estimateText(pair.qRatio),
        estimateText(pair.a.lossFactor),
        estimateText(pair.b.lossFactor),
      ]),
    ),
  });
  return moreNumbers(
    "Frequency ratio, Q, loss factor, splits, and how each pair was found",
    html`${found}${damping}`,
  );
}

/** What neither gain nor the force of the blow changes: levels relative to the strongest, and decay. */
export function blowTable({ two, a, b }: TwoView): Html {
  const percent = (part: number | null) => plainNumber(part === null ? null : 100 * part, 1);
  return table({
    caption: html`Levels at the strike relative to each casting's own strongest partial, and decay: neither the gain of a recorder nor the force of a blow changes them. The place of the blow and the rod's hardness change the levels, so strike at one marked place with one rod. The spread is the standard deviation of one strike.`,
    name: `Levels and spreads of ${a.letter} and ${b.letter}`,
    columns: [
      text("partial"),
      number(`${a.letter}, dB`),
      number(`${b.letter}, dB`),
      number(`${b.letter} less ${a.letter}, dB`),
      number(html`T<sub>60</sub> ratio`),
      number("spread, cents"),
      number(html`spread of T<sub>60</sub>, %`),
    ],
    rows: plainRows(
      two.pairs.map((pair) => [
        foreign(pair.name),
        estimateText(noFiner(pair.a.levelDb, FINEST_DB)),
        estimateText(noFiner(pair.b.levelDb, FINEST_DB)),
        signedEstimateText(noFiner(pair.levelDifferenceDb, FINEST_DB)),
        estimateText(pair.decayRatio),
        plainNumber(pair.strikeSpreadCents, 3),
        percent(pair.strikeSpreadDecay),
      ]),
    ),
  });
}

/** Partials without a counterpart; null where every one has its own. */
export function unpairedTable({ two, a, b }: TwoView): Html | null {
  if (two.unpaired.length === 0) return null;
  return table({
    caption: "Partials of one casting that the other does not show.",
    name: "Unpaired partials",
    columns: [
      text("casting"),
      text("partial"),
      number("frequency, Hz"),
      number(html`T<sub>60</sub>, s`),
      number("level, dB"),
    ],
    rows: plainRows(
      two.unpaired.map((each) => [
        each.casting === "a" ? a.letter : b.letter,
        each.name === null ? "unnamed" : foreign(each.name),
        estimateText(each.frequencyHz),
        estimateText(each.decayTimeS),
        estimateText(each.levelDb),
      ]),
    ),
  });
}

/** The sounds as wholes, B relative to A. */
export function wholeTable({ two: { whole }, a, b }: TwoView): Html {
  const rows: [HtmlValue, Estimate | null, string][] = [
    [
      "strike note, cents",
      whole.strikeNoteCents,
      whole.strikeNoteSameMethod ? "told alike in both" : "told by different methods",
    ],
    [html`T<sub>60</sub>, ratio`, whole.t60Ratio, "fall by 60 dB"],
    ["EDT, ratio", whole.edtRatio, "first 10 dB, scaled to 60"],
    [html`T<sub>20</sub>, ratio`, whole.t20Ratio, "\u22125 to \u221225 dB, scaled to 60"],
    [html`T<sub>30</sub>, ratio`, whole.t30Ratio, "\u22125 to \u221235 dB, scaled to 60"],
    ["audible, ratio", whole.audibleRatio, "until it meets the noise of its recording"],
    ["brightness, ratio", whole.brightnessRatio, "A-weighted centroid at the strike"],
    [
      "brightness over its own pitch, ratio",
      whole.relativeBrightnessRatio,
      "the same, each over its own reference",
    ],
    ["peak level, dB", whole.peakDifferenceDb, "mean over the strikes; blow, distance and gain are in it"],
  ];
  return table({
    caption: html`The sound as a whole, ${b.letter} relative to ${a.letter}.`,
    name: "The sound as a whole",
    columns: [text("quantity"), number(`${b.letter} to ${a.letter}`), text("what it is")],
    rows: plainRows(
      rows.map(([name, value, what]) => [
        name,
        estimateText(value === null ? null : noFiner(value, FINEST_WHOLE)),
        what,
      ]),
    ),
  });
}

/** What all pairs share; between different patterns nothing. */
function sharedCells({ samePattern, common }: TwoView["two"]): HtmlValue[] {
  if (common === null || samePattern.outcome === "different")
    return [NOT_MEASURED, NOT_MEASURED, NOT_MEASURED];
  return [
    signedEstimateText(noFiner(common.cents, FINEST_CENTS)),
    plainNumber(common.scatterCents, 1),
    estimateText(common.decayRatio),
  ];
}

/** Every other casting against the reference, for three and more. */
export function overviewTable(views: readonly TwoView[]): Html {
  const { letter } = views[0].a;
  return table({
    caption: html`Every casting against ${letter}.`,
    name: "Overview",
    columns: [
      text("casting"),
      text("one pattern"),
      number("common shift, cents"),
      number("scatter, cents"),
      number(html`T<sub>60</sub> ratio`),
      text("result"),
    ],
    rows: plainRows(
      views.map(({ two, b }) => [
        html`${b.letter}, ${foreign(b.label)}`,
        two.samePattern.outcome,
        ...sharedCells(two),
        foreign(two.result.text),
      ]),
    ),
  });
}
