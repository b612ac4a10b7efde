import type { Casting, Comparison, ComparisonOfTwo } from "../../compare/index.ts";
import type { TapMeasurement } from "../../measurement/index.ts";

/** One casting against the reference, with the measurements whose curves are drawn. */
export interface TwoView {
  two: ComparisonOfTwo;
  a: Casting;
  b: Casting;
  from: TapMeasurement;
  to: TapMeasurement;
  /** What ids and marks of this pair of castings begin with: the first is 0. */
  at: number;
}

/** Marks of one pair of castings lie below this; those of the next begin there. */
const MARKS_OF_TWO = 1000;
/** Marks of whole castings, beyond those of all pairs. */
const MARKS_OF_CASTINGS = 100_000;

export const markOfPair = ({ at }: TwoView, pair: number): number => MARKS_OF_TWO * at + pair;
export const markOfCasting = (casting: number): number => MARKS_OF_CASTINGS + casting;
export const markOfTurns = ({ at }: TwoView): number => MARKS_OF_CASTINGS + MARKS_OF_TWO + at;

/** An id for this pair of castings; that of the first is the plain word. */
export const idOf = ({ at, b }: TwoView, word: string): string =>
  at === 0 ? word : `${word}-${b.letter.toLowerCase()}`;

/** Every casting against the reference, in order. @throws RangeError when a measurement is missing */
export function viewsOf(comparison: Comparison, measurements: readonly TapMeasurement[]): TwoView[] {
  const { castings, more } = comparison;
  if (measurements.length !== castings.length) {
    throw new RangeError(`${measurements.length} measurements do not belong to ${castings.length} castings`);
  }
  return [comparison, ...more].map((two, at) => ({
    two,
    a: castings[two.a],
    b: castings[two.b],
    from: measurements[two.a],
    to: measurements[two.b],
    at,
  }));
}

/** "B (invented, 20 % tin)": the letter of sentences with what the user calls it. */
export const castingName = ({ letter, label }: Casting): string =>
  label === "" ? letter : `${letter} (${label})`;
