import type { Evidence, TapMeasurement } from "../measurement/index.ts";
import type { Casting, CastingFacts, Common, Pair, SamePattern } from "./comparison.ts";
import { centsOf, median, ratio } from "./estimate.ts";
import { largestAlloyShiftCents } from "./material.ts";
import { threshold } from "./thresholds.ts";
import { cell, countWords, shiftWords } from "./words.ts";

export interface Side {
  casting: Casting;
  measurement: TapMeasurement;
}

/** Indices of the partials that a second casting of the pattern is expected to show. */
function strongPartials({ partials }: TapMeasurement): number[] {
  const strongest = Math.max(...partials.map(({ levelDb }) => levelDb.value));
  return partials.flatMap(({ levelDb }, i) =>
    levelDb.value >= strongest - threshold("strongWithin") ? [i] : [],
  );
}

/** Pairs whose ratio is that of the others, within half a semitone: they keep their place in the pattern of partials. */
export function pairsInPlace(pairs: readonly Pair[]): Pair[] {
  if (pairs.length === 0) return [];
  const middle = median(pairs.map(({ cents }) => cents.value));
  return pairs.filter(({ cents }) => Math.abs(cents.value - middle) <= threshold("placeWindow"));
}

function evidenceOf(a: Side, b: Side, strong: number, inPlace: number, pairs: readonly Pair[]): Evidence[] {
  const number = (label: string, value: number, unit = "partials"): Evidence => {
    return { kind: "number", label, value, ci95: null, unit };
  };
  return [
    number("strong partials of both castings together", strong),
    number("of these in place in the other casting", inPlace),
    number(`partials of ${a.casting.letter}`, a.measurement.partials.length),
    number(`partials of ${b.casting.letter}`, b.measurement.partials.length),
    {
      kind: "table",
      label: "Place of each pair",
      columns: ["partial", "paired by", `${b.casting.letter} over ${a.casting.letter}, cents`, "in place"],
      rows: pairs.map((pair) => [
        pair.name,
        pair.pairedBy,
        cell(pair.cents, "cents"),
        pairsInPlace(pairs).includes(pair) ? "yes" : "no",
      ]),
    },
  ];
}

/**
 * Whether two castings can be of one pattern, told from the pattern of their partials alone: how many of the strong
 * partials of both have a counterpart whose ratio is that of the others, and whether the common shift is one that alloys
 * can make. It cannot tell two patterns of one shape apart.
 */
export function samePattern(a: Side, b: Side, pairs: readonly Pair[], common: Common | null): SamePattern {
  const strongA = strongPartials(a.measurement);
  const strongB = strongPartials(b.measurement);
  const kept = pairsInPlace(pairs);
  const strong = strongA.length + strongB.length;
  const inPlace =
    kept.filter((pair) => strongA.includes(pair.a.partial)).length +
    kept.filter((pair) => strongB.includes(pair.b.partial)).length;
  const share = strong === 0 ? 0 : inPlace / strong;
  const evidence = evidenceOf(a, b, strong, inPlace, pairs);
  const counted = `Of the ${countWords(strong, "strong partial")} of both together, ${inPlace} keep their place in the other.`;
  const enough =
    Math.min(a.measurement.partials.length, b.measurement.partials.length) >= threshold("patternPairs");
  if (!enough) {
    const text = `Too few partials were measured to say whether these are castings of one pattern. ${counted}`;
    return { outcome: "unclear", text, evidence };
  }
  if (share < threshold("patternShareLeast")) {
    const text = `These are not castings of the same pattern: the ratios between their partials differ. ${counted}`;
    return { outcome: "different", text, evidence };
  }
  if (share < threshold("patternShare") || kept.length < threshold("patternPairs")) {
    const text = `Whether these are castings of one pattern is open. ${counted}`;
    return { outcome: "unclear", text, evidence };
  }
  const unexplained = shiftBeyondAlloys(a.casting, b.casting, common!);
  if (unexplained !== null) {
    const text = `These keep the ratios between their partials, but ${b.casting.letter} lies ${unexplained} than ${a.casting.letter}, further than alloys shift one pattern: two sizes of one shape. ${counted}`;
    return { outcome: "different", text, evidence };
  }
  return { outcome: "same", text: `These can be castings of one pattern. ${counted}`, evidence };
}

/** "702.0 ± 0.1 cents higher" where neither the diameters nor any published alloy explains the common shift. */
function shiftBeyondAlloys(a: CastingFacts, b: CastingFacts, common: Common): string | null {
  const diameters = ratio(a.diameterM, b.diameterM);
  const bySize = diameters === null ? 0 : centsOf(diameters).value;
  return Math.abs(common.cents.value - bySize) > largestAlloyShiftCents() ? shiftWords(common.cents) : null;
}
