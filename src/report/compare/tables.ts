import type { Comparison, Pair } from "../../compare/index.ts";
import type { Estimate, Quantity } from "../../measurement/index.ts";
import { moreNumbers } from "../figure.ts";
import { foreign, type Html, type HtmlValue, html } from "../html.ts";
import { estimateText, NOT_MEASURED, plainNumber, signedEstimateText, twoDigits } from "../numbers.ts";
import { plainRows, type TableColumn, table } from "../table.ts";
import { markOfPair, type TwoView } from "./view.ts";
import { changedText } from "./words.ts";

const number = (head: HtmlValue): TableColumn => ({ head, kind: "number" });
const text = (head: HtmlValue): TableColumn => ({ head, kind: "text" });

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
          estimateText(massKg, "other"),
          estimateText(diameterM === null ? null : milli(diameterM), "other"),
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
        estimateText(pair.a.frequencyHz, "frequency"),
        estimateText(pair.b.frequencyHz, "frequency"),
        signedEstimateText(pair.cents, "cents"),
        estimateText(pair.a.decayTimeS, "time"),
        estimateText(pair.b.decayTimeS, "time"),
        estimateText(pair.decayRatio, "times"),
        changedText(pair),
      ],
      mark: markOfPair(view, i),
    })),
  });
}

/** What the acoustician wants besides: ratio, Q, loss factor, splits, and how each pair was found. */
export function acousticsTable({ two, a, b }: TwoView): Html {
  const split = ({ splitHz }: Pair["a"]) =>
    splitHz === null ? "one line" : estimateText(splitHz, "frequency");
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
        estimateText(pair.frequencyRatio, "interval"),
        split(pair.a),
        split(pair.b),
        signedEstimateText(pair.splitDifferenceHz, "frequency"),
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
        estimateText(pair.a.q, "damping"),
        estimateText(pair.b.q, "damping"),
        estimateText(pair.qRatio, "times"),
        estimateText(pair.a.lossFactor, "damping"),
        estimateText(pair.b.lossFactor, "damping"),
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
        estimateText(pair.a.levelDb, "level"),
        estimateText(pair.b.levelDb, "level"),
        signedEstimateText(pair.levelDifferenceDb, "level"),
        estimateText(pair.decayRatio, "times"),
        twoDigits(pair.strikeSpreadCents),
        twoDigits(pair.strikeSpreadDecay === null ? null : 100 * pair.strikeSpreadDecay),
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
        estimateText(each.frequencyHz, "frequency"),
        estimateText(each.decayTimeS, "time"),
        estimateText(each.levelDb, "level"),
      ]),
    ),
  });
}

/** The sounds as wholes, B relative to A. */
export function wholeTable({ two: { whole }, a, b }: TwoView): Html {
  const rows: [HtmlValue, Estimate | null, Quantity, string][] = [
    [
      "strike note, cents",
      whole.strikeNoteCents,
      "cents",
      whole.strikeNoteSameMethod ? "told alike in both" : "told by different methods",
    ],
    [html`T<sub>60</sub>, ratio`, whole.t60Ratio, "times", "fall by 60 dB"],
    ["EDT, ratio", whole.edtRatio, "times", "first 10 dB, scaled to 60"],
    [html`T<sub>20</sub>, ratio`, whole.t20Ratio, "times", "\u22125 to \u221225 dB, scaled to 60"],
    [html`T<sub>30</sub>, ratio`, whole.t30Ratio, "times", "\u22125 to \u221235 dB, scaled to 60"],
    ["audible, ratio", whole.audibleRatio, "times", "until it meets the noise of its recording"],
    ["brightness, ratio", whole.brightnessRatio, "times", "A-weighted centroid at the strike"],
    [
      "brightness over its own pitch, ratio",
      whole.relativeBrightnessRatio,
      "times",
      "the same, each over its own reference",
    ],
    [
      "peak level, dB",
      whole.peakDifferenceDb,
      "level",
      "mean over the strikes; blow, distance and gain are in it",
    ],
  ];
  return table({
    caption: html`The sound as a whole, ${b.letter} relative to ${a.letter}.`,
    name: "The sound as a whole",
    columns: [text("quantity"), number(`${b.letter} to ${a.letter}`), text("what it is")],
    rows: plainRows(rows.map(([name, value, quantity, what]) => [name, estimateText(value, quantity), what])),
  });
}

/** What all pairs share; between different patterns nothing. */
function sharedCells({ samePattern, common }: TwoView["two"]): HtmlValue[] {
  if (common === null || samePattern.outcome === "different")
    return [NOT_MEASURED, NOT_MEASURED, NOT_MEASURED];
  return [
    signedEstimateText(common.cents, "cents"),
    plainNumber(common.scatterCents, 1),
    estimateText(common.decayRatio, "times"),
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
