import type { Change } from "../change.ts";
import type { Pair } from "../comparison.ts";
import { exponential, sdOfLog } from "../estimate.ts";
import { sharedChange } from "../shared-change.ts";
import { threshold } from "../thresholds.ts";
import { listWords, numberWord, ratioText, twoDigits } from "../words.ts";

/** Pairs whose decay ratios are told together. */
export interface RatioGroup {
  /** Ascending in frequency. */
  pairs: Pair[];
  /** Whether one number tells them; otherwise a range does. */
  isOne: boolean;
}

/** More groups than this read worse than a range. */
const MOST_GROUPS = 3;
/** More names than this read worse than their number. */
const MOST_NAMES = 4;

const changesOf = (pairs: readonly Pair[]): Change[] =>
  pairs.map(({ decayRatio }) => {
    const value = Math.log(decayRatio.value);
    return { value, sd: sdOfLog(decayRatio), degrees: Number.POSITIVE_INFINITY, strikeSd: null };
  });

/** Whether one number with its interval tells all of them: they share it, or lie close together. */
function isOne(pairs: readonly Pair[]): boolean {
  const ratios = pairs.map(({ decayRatio }) => decayRatio.value);
  if (Math.max(...ratios) <= threshold("decayAlike") * Math.min(...ratios)) return true;
  const { kind } = sharedChange(changesOf(pairs), false);
  return kind === "none" || kind === "common";
}

/** Parts at the widest gap between ratios, again and again, until one number tells each part. */
function partsOf(pairs: Pair[]): Pair[][] {
  if (pairs.length === 1 || isOne(pairs)) return [pairs];
  const sorted = [...pairs].sort((x, y) => x.decayRatio.value - y.decayRatio.value);
  let cut = 1;
  for (let i = 1; i < sorted.length; i++) {
    const gap = (at: number) => Math.log(sorted[at].decayRatio.value / sorted[at - 1].decayRatio.value);
    if (gap(i) > gap(cut)) cut = i;
  }
  return [sorted.slice(0, cut), sorted.slice(cut)].flatMap(partsOf);
}

/**
 * Pairs grouped by their decay ratio, the group with the lowest partial first; one group with a range where more than
 * three would be needed.
 *
 * @param pairs at least one, ascending in frequency
 */
export function ratioGroups(pairs: readonly Pair[]): RatioGroup[] {
  const parts = partsOf([...pairs]);
  if (parts.length > MOST_GROUPS) return [{ pairs: [...pairs], isOne: false }];
  return parts
    .map((part) => ({ pairs: pairs.filter((pair) => part.includes(pair)), isOne: true }))
    .sort((x, y) => pairs.indexOf(x.pairs[0]) - pairs.indexOf(y.pairs[0]));
}

/** "2.14 ± 0.03", or "1.3 to 4.1" of a group that no one number tells. */
export function groupRatio({ pairs, isOne: told }: RatioGroup): string {
  if (told) return ratioText(exponential(sharedChange(changesOf(pairs), false).mean));
  const ratios = pairs.map(({ decayRatio }) => decayRatio.value);
  return `${twoDigits(Math.min(...ratios))} to ${twoDigits(Math.max(...ratios))}`;
}

/** "all 8 paired partials", "its five lowest partials", "the hum and the tierce", "six of its 9 partials". */
export function whichWords(set: readonly Pair[], pairs: readonly Pair[]): string {
  if (set.length === pairs.length) return `all ${pairs.length} paired partials`;
  const places = set.map((pair) => pairs.indexOf(pair));
  const count = numberWord(set.length);
  if (set.length > 1 && places.every((place) => place < set.length)) return `its ${count} lowest partials`;
  if (set.length > 1 && places.every((place) => place >= pairs.length - set.length)) {
    return `its ${count} highest partials`;
  }
  if (set.length <= MOST_NAMES) return listWords(set.map((pair) => `the ${pair.name}`));
  return `${count} of its ${pairs.length} paired partials`;
}
