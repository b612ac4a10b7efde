import type { Estimate } from "../measurement/index.ts";
import { castDensityKgM3, sheetsNear } from "./alloy-sheets.ts";
import { type Composition, formatComposition } from "./composition.ts";
import { InvalidPlanError } from "./error.ts";
import { spanning } from "./estimate.ts";

/** What the pitch of a shape rests on. */
export interface CastElasticity {
  youngGPa: Estimate;
  densityKgM3: Estimate;
  poisson: Estimate;
  /** One sentence. */
  source: string;
}

/** Sheets disagree by up to 13 % in Young's modulus, and castings of one alloy differ: none is trusted closer than this. */
const YOUNG_LEAST_RELATIVE = 0.08;
/** Copper alloys lie between 0.31 and 0.37 (handbooks, from memory). */
const POISSON: Estimate = { value: 0.34, ci95: 0.03 };

/**
 * Young's modulus, density and Poisson's ratio of a casting at 20 degrees Celsius, by the data sheets of nearby alloys, with
 * intervals that reach all of them.
 *
 * @throws InvalidPlanError where no sheet near the composition lists a modulus
 */
export function castElasticity(composition: Composition): CastElasticity {
  const sheets = sheetsNear(composition).filter((sheet) =>
    sheet.readings.some(({ youngsModulusGPa }) => youngsModulusGPa !== null),
  );
  const moduli = sheets.flatMap(({ readings }) => readings.flatMap((each) => each.youngsModulusGPa ?? []));
  if (moduli.length === 0) {
    throw new InvalidPlanError(
      `no data sheet at hand lists a modulus near ${formatComposition(composition)}; give --young, --density and --poisson, for example --young 97GPa --density 8700kg/m3 --poisson 0.34`,
    );
  }
  const middle = spanning(Math.min(...moduli), Math.max(...moduli));
  return {
    youngGPa: { value: middle.value, ci95: Math.max(middle.ci95, middle.value * YOUNG_LEAST_RELATIVE) },
    densityKgM3: castDensityKgM3(composition).densityKgM3,
    poisson: POISSON,
    source: `${formatComposition(composition)} by the data sheets of ${sheets.map(({ id }) => id).join(", ")}; Poisson's ratio of copper alloys from memory`,
  };
}
