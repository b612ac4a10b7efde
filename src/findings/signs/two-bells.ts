import type { ExpectedPartial, TapPartial } from "../../measurement/index.ts";
import { threshold } from "../thresholds.ts";

/** A row of lines that fits the profile: the frequency of its ratio 1, and which partials lie in it. */
export interface Row {
  referenceHz: number;
  partials: number[];
}

/** Partials of the profile up to here are held against the lines; above, the lines lie so close that anything fits. */
const HIGHEST_RATIO = 4.5;

/**
 * Two rows of partials in one sound, each as the profile expects it of one bell, with no line in common; null where there
 * are none. The fuller row is taken out first, then the next is looked for in what is left; it must not be the other half of
 * split partials.
 */
export function twoRows(
  partials: readonly TapPartial[],
  expected: readonly ExpectedPartial[],
): [Row, Row] | null {
  const low = expected.filter((e) => e.idealRatio <= HIGHEST_RATIO);
  if (low.length < threshold("rowPartials")) return null;
  const heard = partials.flatMap((p, i) => (p.levelDb.value >= threshold("rowLevel") ? [i] : []));
  const first = fullestRow(partials, heard, low);
  if (first === null) return null;
  const rest = heard.filter((i) => !first.partials.includes(i));
  const second = fullestRow(partials, rest, low);
  return second === null || areTwins(partials, first, second) ? null : [first, second];
}

/** Whether most of the second row lies beside the first, line by line: one bell whose partials are split far, as by a crack. */
function areTwins(partials: readonly TapPartial[], first: Row, second: Row): boolean {
  const hz = (i: number): number => partials[i]!.frequencyHz.value;
  const beside = second.partials.filter((i) =>
    first.partials.some((j) => Math.abs(hz(i) - hz(j)) < threshold("voteWithin") * hz(j)),
  );
  return 2 * beside.length > second.partials.length;
}

function fullestRow(
  partials: readonly TapPartial[],
  among: readonly number[],
  low: readonly ExpectedPartial[],
): Row | null {
  let best: Row | null = null;
  let tightest = Number.POSITIVE_INFINITY;
  for (const i of among) {
    for (const { idealRatio } of low) {
      const referenceHz = partials[i]!.frequencyHz.value / idealRatio;
      const { members, off } = rowAt(partials, among, low, referenceHz);
      const fuller = members.length > (best?.partials.length ?? 0);
      const tighter = members.length === best?.partials.length && off < tightest;
      if (members.length < threshold("rowPartials") || !(fuller || tighter)) continue;
      best = { referenceHz, partials: members };
      tightest = off;
    }
  }
  return best;
}

/** The nearest line to each place, where one is near enough, and how far off they lie in all. */
function rowAt(
  partials: readonly TapPartial[],
  among: readonly number[],
  low: readonly ExpectedPartial[],
  referenceHz: number,
): { members: number[]; off: number } {
  const members: number[] = [];
  let off = 0;
  for (const { idealRatio } of low) {
    let nearest = -1;
    let least = threshold("rowWithin");
    for (const i of among) {
      const distance = Math.abs(partials[i]!.frequencyHz.value / (referenceHz * idealRatio) - 1);
      if (distance > least || members.includes(i)) continue;
      nearest = i;
      least = distance;
    }
    if (nearest < 0) continue;
    members.push(nearest);
    off += least;
  }
  return { members, off };
}
