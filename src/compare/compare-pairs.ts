import { type Estimate, nearHz, type TapMeasurement, type TapPartial } from "../measurement/index.ts";
import { type Change, changed, changeOf, intervalOf } from "./change.ts";
import type { Common, Pair, PairSide, UnpairedPartial } from "./comparison.ts";
import { CENTS_PER_NEPER, difference, exponential, product, scaled, sdOfLog } from "./estimate.ts";
import { type Match, pairPartials } from "./pair-partials.ts";
import { type SharedChange, sharedChange } from "./shared-change.ts";
import { type Sides, sidesOf, splitDifference } from "./sides.ts";
import { errorOf, spreadsOf } from "./strike-spread.ts";
import { threshold } from "./thresholds.ts";

/** What the pair is called: its name, its order along the rim, or where A has it. */
function nameOf(a: TapPartial, b: TapPartial, { pairedBy }: Match): string {
  const name = a.name ?? b.name;
  if (name !== null) return name;
  if (pairedBy === "rim order") return `rim partial m = ${a.nodalMeridians}`;
  return `partial near ${nearHz(a.frequencyHz.value)} Hz`;
}

interface Changes {
  frequency: Change[];
  decay: Change[];
}

function changesOf(a: TapMeasurement, b: TapMeasurement, sides: readonly Sides[]): Changes {
  const spreads = { a: spreadsOf(a), b: spreadsOf(b) };
  const change = (of: (side: PairSide) => Estimate, quantity: "frequency" | "decay") =>
    sides.map((side) => {
      const from = of(side.a);
      const to = of(side.b);
      return changeOf(
        Math.log(to.value / from.value),
        errorOf(spreads.a[quantity][side.a.partial], sdOfLog(from)),
        errorOf(spreads.b[quantity][side.b.partial], sdOfLog(to)),
      );
    });
  return {
    frequency: change((side) => side.frequencyHz, "frequency"),
    decay: change((side) => side.decayTimeS, "decay"),
  };
}

function pairOf(sides: Sides, frequency: Change, decay: Change) {
  const cents = intervalOf(frequency);
  const frequencyRatio = exponential(cents);
  const decayRatio = exponential(intervalOf(decay));
  return {
    ...sides,
    frequencyRatio,
    cents: scaled(cents, CENTS_PER_NEPER),
    decayRatio,
    // Q = pi f T60 / ln 1000, so its ratio follows.
    qRatio: product(frequencyRatio, decayRatio),
    levelDifferenceDb: difference(sides.b.levelDb, sides.a.levelDb),
    splitDifferenceHz: splitDifference(sides),
    strikeSpreadCents: frequency.strikeSd === null ? null : CENTS_PER_NEPER * frequency.strikeSd,
    strikeSpreadDecay: decay.strikeSd,
  };
}

function commonOf({ frequency, decay }: Changes): Common | null {
  if (frequency.length === 0) return null;
  // Warmth and a recorder's clock move all frequencies alike; decays err each for itself.
  const pitch = sharedChange(frequency, true);
  const ring = sharedChange(decay, false);
  const testOf = ({ kind, moved, statistic, degreesOfFreedom, pValue, pValueOfMean }: SharedChange) => {
    return { kind, moved, statistic, degreesOfFreedom, pValue, pValueOfMean };
  };
  return {
    cents: scaled(pitch.mean, CENTS_PER_NEPER),
    scatterCents: CENTS_PER_NEPER * pitch.scatter,
    frequencyRatio: exponential(pitch.mean),
    decayRatio: exponential(ring.mean),
    scatterDecay: ring.scatter,
    pitch: testOf(pitch),
    decay: testOf(ring),
  };
}

const unpairedOf = (
  measurement: TapMeasurement,
  casting: "a" | "b",
  paired: Set<number>,
): UnpairedPartial[] =>
  measurement.partials.flatMap(({ name, frequencyHz, decayTimeS, levelDb }, partial) =>
    paired.has(partial) ? [] : [{ casting, partial, name, frequencyHz, decayTimeS, levelDb }],
  );

/** The partials of two castings side by side, and what all of them say together. */
export function comparePairs(
  a: TapMeasurement,
  b: TapMeasurement,
): { pairs: Pair[]; unpaired: UnpairedPartial[]; common: Common | null } {
  const matches = pairPartials(a.partials, b.partials);
  const sides = matches.map((match) => sidesOf(match, a.partials[match.a], b.partials[match.b]));
  const changes = changesOf(a, b, sides);
  const frequencyChanged = changed(changes.frequency, threshold("falseAlarm"));
  const decayChanged = changed(changes.decay, threshold("falseAlarm"));
  const pairs = matches.map((match, i): Pair => {
    const frequency = changes.frequency[i];
    const decay = changes.decay[i];
    const spreadKnown = frequency.strikeSd !== null && decay.strikeSd !== null;
    const from = a.partials[match.a];
    const to = b.partials[match.b];
    return {
      name: nameOf(from, to, match),
      pairedBy: match.pairedBy,
      nodalMeridians: from.nodalMeridians ?? to.nodalMeridians,
      ...pairOf(sides[i], frequency, decay),
      frequencyChanged: frequencyChanged[i],
      decayChanged: decayChanged[i],
      beyondStrikeSpread: spreadKnown ? frequencyChanged[i] || decayChanged[i] : null,
    };
  });
  return {
    pairs,
    unpaired: [
      ...unpairedOf(a, "a", new Set(matches.map((match) => match.a))),
      ...unpairedOf(b, "b", new Set(matches.map((match) => match.b))),
    ],
    common: commonOf(changes),
  };
}
