import type { TapPartial } from "../measurement/index.ts";
import { CENTS_PER_NEPER, median } from "./estimate.ts";
import { threshold } from "./thresholds.ts";

type Heard = Pick<TapPartial, "frequencyHz" | "levelDb">;

/** The shift that lines up the most partials of two castings. */
export interface Alignment {
  cents: number;
  /** Partials of one that meet one of the other, each once. */
  matched: number;
  /** 2 matched / (partials of A + partials of B), among those looked at. */
  share: number;
}

/** Weaker ones change nothing but the time it takes. */
const MOST_PARTIALS = 30;
/** Two castings to be set side by side are within an octave. */
const MOST_CENTS = 1200;
/** Half the window of a place: the shift is yet to be settled. */
const MEETS = 0.5;
/** With less the shift may be chance. */
const LEAST_MATCHED = 3;
const EXPLAINS_SHARE = 0.75;

const strongest = (partials: readonly Heard[]): number[] =>
  [...partials]
    .sort((x, y) => y.levelDb.value - x.levelDb.value)
    .slice(0, MOST_PARTIALS)
    .map(({ frequencyHz }) => CENTS_PER_NEPER * Math.log(frequencyHz.value))
    .sort((x, y) => x - y);

/** What is left between partials that meet at a shift, walking up both lists; each is used once. */
function meeting(a: readonly number[], b: readonly number[], shift: number, within: number): number[] {
  const left: number[] = [];
  let j = 0;
  for (const pitch of a) {
    while (j < b.length && b[j] < pitch + shift - within) j++;
    if (j < b.length && b[j] <= pitch + shift + within) left.push(b[j++] - pitch - shift);
  }
  return left;
}

/**
 * Tries the shift of every partial of A onto every one of B and keeps the one at which most partials meet; of equals
 * the smaller. A vote of this kind needs no names and bears partials that are there only once.
 *
 * @returns null where fewer than three meet
 */
export function alignment(a: readonly Heard[], b: readonly Heard[]): Alignment | null {
  const from = strongest(a);
  const to = strongest(b);
  const within = MEETS * threshold("placeWindow");
  const shifts = from
    .flatMap((pitch) => to.map((other) => other - pitch))
    .filter((shift) => Math.abs(shift) <= MOST_CENTS)
    .sort((x, y) => Math.abs(x) - Math.abs(y));
  let best: number[] = [];
  let bestShift = 0;
  for (const shift of shifts) {
    const left = meeting(from, to, shift, within);
    if (left.length > best.length) {
      best = left;
      bestShift = shift;
    }
  }
  if (best.length < LEAST_MATCHED) return null;
  return {
    cents: bestShift + median(best),
    matched: best.length,
    share: (2 * best.length) / (from.length + to.length),
  };
}

/** Whether nearly everything lines up, so that a name that says otherwise is the likelier error. */
export function explains({ matched, share }: Alignment): boolean {
  return matched >= threshold("patternPairs") && share >= EXPLAINS_SHARE;
}
