import { ALLOY_SHEETS, alloyShift, mixtureDensityKgM3, parseComposition } from "../foundry/index.ts";
import type { CastingFacts, Common, Material } from "./comparison.ts";
import { CENTS_PER_NEPER, product, ratio } from "./estimate.ts";

/** Sheets disagree by this much of a frequency (see alloyShift). */
const SHEET_CENTS = CENTS_PER_NEPER * Math.log(1.05);

/** The largest common shift, in cents, that one pattern takes from one published copper alloy to another. */
export function largestAlloyShiftCents(): number {
  const speeds = ALLOY_SHEETS.flatMap(({ composition, readings }) =>
    readings.flatMap(({ youngsModulusGPa, densityKgM3 }) =>
      youngsModulusGPa === null
        ? []
        : Math.sqrt((youngsModulusGPa * 1e9) / (densityKgM3 ?? mixtureDensityKgM3(composition))),
    ),
  );
  return CENTS_PER_NEPER * Math.log(Math.max(...speeds) / Math.min(...speeds)) + SHEET_CENTS;
}

function expectation(from: string | null, to: string | null): Pick<Material, "expected" | "noExpectation"> {
  if (from === null || to === null) {
    return {
      expected: null,
      noExpectation: "The alloys were not given, so no published figure stands beside it.",
    };
  }
  try {
    const { frequencyRatio, basis, sheets } = alloyShift(parseComposition(from), parseComposition(to));
    return { expected: { soundSpeedRatio: frequencyRatio, basis, sheets }, noExpectation: null };
  } catch (error) {
    if (!(error instanceof Error) || error.name !== "InvalidPlanError") throw error;
    return { expected: null, noExpectation: `No published figure stands beside it: ${error.message}.` };
  }
}

/**
 * What the common shift says of the metal. A shape of size D rings at frequencies in proportion to sqrt(E / density) / D
 * (similarity; Rossing & Perrin, Applied Acoustics 20 (1987) 41-70), so the ratio of the frequencies, times that of the
 * diameters, is that of sqrt(E / density); Poisson's ratio is taken as the same.
 *
 * @returns null without paired partials
 */
export function materialOf(a: CastingFacts, b: CastingFacts, common: Common | null): Material | null {
  if (common === null) return null;
  const diameterRatio = ratio(b.diameterM, a.diameterM);
  return {
    soundSpeedRatio:
      diameterRatio === null ? common.frequencyRatio : product(common.frequencyRatio, diameterRatio),
    diameterRatio,
    ...expectation(a.alloy, b.alloy),
    massRatio: ratio(b.massKg, a.massKg),
  };
}
