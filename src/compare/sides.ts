import { lossFactor, qualityFactor } from "../bell/index.ts";
import type { Estimate, TapPartial } from "../measurement/index.ts";
import type { PairSide } from "./comparison.ts";
import { difference, exponential, SD_TO_CI95, sdOfLog } from "./estimate.ts";
import type { Match } from "./pair-partials.ts";

/** The two partials of a pair. */
export interface Sides {
  a: PairSide;
  b: PairSide;
}

/** A pair of lines this part of a linewidth apart is seen as one (the bound of a doublet's split at high levels). */
const UNSEEN_SPLIT = 0.5;
/** Linewidth = decay rate / pi = ln 1000 / (pi T60). */
const LINEWIDTH_TIMES_T60 = Math.log(1000) / Math.PI;

/** Geometric mean of independent positive estimates. */
function middle(x: Estimate, y: Estimate): Estimate {
  const value = (Math.log(x.value) + Math.log(y.value)) / 2;
  return exponential({ value, ci95: (SD_TO_CI95 * Math.hypot(sdOfLog(x), sdOfLog(y))) / 2 });
}

/** What frequency and decay of a partial can be set beside another's. */
function comparable(partial: TapPartial, other: TapPartial): { frequencyHz: Estimate; decayTimeS: Estimate } {
  const { frequencyHz, decayTimeS, doublet } = partial;
  if (doublet !== null && other.doublet !== null) {
    const [low, high] = [doublet.members[0], doublet.members[doublet.members.length - 1]];
    return {
      frequencyHz: middle(low.frequencyHz, high.frequencyHz),
      decayTimeS: middle(low.decayTimeS, high.decayTimeS),
    };
  }
  if (doublet === null) return { frequencyHz, decayTimeS };
  // The other's single line may be either member, so the interval reaches both.
  const reach = Math.hypot(frequencyHz.ci95, doublet.splitHz.value);
  return { frequencyHz: { value: frequencyHz.value, ci95: reach }, decayTimeS };
}

function sideOf(partial: TapPartial, other: TapPartial, index: number): PairSide {
  const { frequencyHz, decayTimeS } = comparable(partial, other);
  return {
    partial: index,
    name: partial.name,
    frequencyHz,
    decayTimeS,
    q: qualityFactor(frequencyHz, decayTimeS),
    lossFactor: lossFactor(frequencyHz, decayTimeS),
    levelDb: partial.levelDb,
    splitHz: partial.doublet?.splitHz ?? null,
    deviationCents: partial.deviationCents,
  };
}

/** The two partials of a match, by what can be set side by side. */
export function sidesOf({ a, b }: Match, from: TapPartial, to: TapPartial): Sides {
  return { a: sideOf(from, to, a), b: sideOf(to, from, b) };
}

/** The split of a partial; of one that is seen as a single line, 0 to within half its linewidth. */
function splitOf({ splitHz, decayTimeS }: PairSide): Estimate {
  return splitHz ?? { value: 0, ci95: (UNSEEN_SPLIT * LINEWIDTH_TIMES_T60) / decayTimeS.value };
}

/** B's split less A's; null where neither is split. */
export function splitDifference({ a, b }: Sides): Estimate | null {
  return a.splitHz === null && b.splitHz === null ? null : difference(splitOf(b), splitOf(a));
}
