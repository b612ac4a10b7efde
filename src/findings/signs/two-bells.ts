import type { ExpectedPartial, TapPartial } from "../../measurement/index.ts";
import { median } from "../robust.ts";
import { threshold } from "../thresholds.ts";

/** A row of lines that fits the profile: the frequency of its ratio 1, and which partials lie in it. */
export interface Row {
  referenceHz: number;
  partials: number[];
}

/** Partials of the profile up to here are held against the lines; above, the lines lie so close that anything fits. */
const HIGHEST_RATIO = 4.5;

/**
 * Up to its nominal a bell has no strong partials but the profile's; above, a single tuned bell has so many that rows like
 * another bell's can be picked from them.
 */
const CLEAR_UP_TO = 1.95;

/**
 * Two rows of partials in one sound, each as the profile expects it of one bell; null where there are none. The row that
 * holds most is the first bell's. The next may share lines with it, for tuned bells do, and is another bell's when it
 * explains what is loud where the first bell has nothing of its own, and is not the other half of split partials.
 */
export function twoRows(
  partials: readonly TapPartial[],
  expected: readonly ExpectedPartial[],
): [Row, Row] | null {
  const low = expected.filter((e) => e.idealRatio <= HIGHEST_RATIO);
  if (low.length < threshold("rowPartials")) return null;
  const heard = partials.flatMap((p, i) => (p.levelDb.value >= threshold("rowLevel") ? [i] : []));
  const first = heaviestRow(partials, heard, low);
  if (first === null) return null;
  const second = heaviestRow(partials, heard, low, (row) => standsApart(partials, first, row));
  return second === null ? null : [first, second];
}

/** Whether two bells about as loud sound at once: then there is no louder one that names, note and tuning are of. */
export function isMixture(partials: readonly TapPartial[], expected: readonly ExpectedPartial[]): boolean {
  const rows = twoRows(partials, expected);
  return rows !== null && isAsLoud(partials, rows);
}

export function isAsLoud(partials: readonly TapPartial[], [first, second]: [Row, Row]): boolean {
  return ownOf(first, second).some((i) => partials[i]!.levelDb.value >= threshold("mixtureLevel"));
}

/** What the second row has to itself. */
function ownOf(first: Row, second: Row): number[] {
  return second.partials.filter((i) => !first.partials.includes(i));
}

/**
 * Whether the second row explains most of what is loud below the nominal of the first bell and neither its own nor named:
 * one bell alone has little there, and that in no row.
 */
function standsApart(partials: readonly TapPartial[], first: Row, second: Row): boolean {
  // What dies far sooner than the bell's partials do is the blow's or the room's, not another bell's hum or prime.
  const usual = median(partials.map(({ q }) => q.value)) ?? 0;
  const unexplained = partials.flatMap(({ frequencyHz, levelDb, name, q }, i) => {
    const isClear = frequencyHz.value < CLEAR_UP_TO * first.referenceHz;
    const isLoud = levelDb.value >= threshold("secondRowLevel");
    const rings = q.value * threshold("lossOutlierRatio") >= usual;
    return isClear && isLoud && rings && name === null && !first.partials.includes(i) ? [i] : [];
  });
  const explained = unexplained.filter((i) => second.partials.includes(i));
  return (
    explained.length >= threshold("secondRowPartials") &&
    explained.length >= threshold("secondRowShare") * unexplained.length &&
    !areTwins(partials, first, second)
  );
}

/** Whether most of the second row lies beside the first, line by line: one bell whose partials are split far, as by a crack. */
function areTwins(partials: readonly TapPartial[], first: Row, second: Row): boolean {
  const hz = (i: number): number => partials[i]!.frequencyHz.value;
  const own = ownOf(first, second);
  const beside = own.filter((i) =>
    first.partials.some((j) => Math.abs(hz(i) - hz(j)) < threshold("voteWithin") * hz(j)),
  );
  return 2 * beside.length > own.length;
}

/** The row that holds most, each partial weighed by how far it stands over the weakest that is asked; with `isOne`. */
function heaviestRow(
  partials: readonly TapPartial[],
  among: readonly number[],
  low: readonly ExpectedPartial[],
  isOne: (row: Row) => boolean = () => true,
): Row | null {
  let best: Row | null = null;
  let heaviest = 0;
  for (const i of among) {
    for (const { idealRatio } of low) {
      const referenceHz = partials[i]!.frequencyHz.value / idealRatio;
      const { members, off } = rowAt(partials, among, low, referenceHz);
      if (members.length < threshold("rowPartials")) continue;
      const over = members.reduce((sum, m) => sum + partials[m]!.levelDb.value - threshold("rowLevel"), 0);
      // Of rows with the same members the tightest.
      const weight = over - off / threshold("rowWithin");
      if (weight <= heaviest || !isOne({ referenceHz, partials: members })) continue;
      best = { referenceHz, partials: members };
      heaviest = weight;
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
