import type { Estimate } from "../measurement/index.ts";
import { ALLOY_SHEETS, alloyFamilyOf, castDensityKgM3 } from "./alloy-sheets.ts";
import { type Composition, elementOf } from "./composition.ts";
import { InvalidPlanError } from "./error.ts";
import { quadrature } from "./estimate.ts";
import { mixtureDensityKgM3 } from "./mixture.ts";

/** Air at 20 °C and sea level; its buoyancy is a thousandth of the water's. */
const AIR_KG_M3 = 1.2;

/**
 * Density of water free of air at normal pressure, kg/m³, 0 to 40 °C
 * (Tanaka et al., Metrologia 38 (2001) 301-309, formula from memory: 998.207 at 20 °C).
 */
export function waterDensityKgM3(temperatureC: number): number {
  const t = temperatureC;
  return 999.97495 * (1 - ((t - 3.983035) ** 2 * (t + 301.797)) / (522528.9 * (t + 69.34881)));
}

export interface Weighing {
  /** Reading of the balance with the bell in air. */
  airKg: Estimate;
  /** Reading with the bell hung under water. */
  waterKg: Estimate;
  waterTemperatureC: Estimate;
  /** Composition that was meant, to set against the density; null when unknown. */
  meant: Composition | null;
}

export interface DensityResult {
  densityKgM3: Estimate;
  volumeM3: Estimate;
  /** Tin in a sound bronze of copper and tin alone; null where no such bronze has this density. */
  tinPercent: Estimate | null;
  /** Why there is no tin content. */
  tinReason: string | null;
  /** What one volume per cent of hidden pores does to the tin read, percentage points. */
  pointsPerPercentPorosity: number;
  /** Pores in volume per cent if the composition is as meant; below 0 means denser than expected. */
  porosityPercent: Estimate | null;
  notes: string[];
}

/**
 * Density by weighing in air and in water, and what it says of the tin.
 *
 * Method: rho = air (rho_water - rho_air) / (air - water) + rho_air (ISO 1183-1, method A, from memory). Tin from
 * ideal mixing of copper and tin; its interval holds the balance, the water's temperature, and the largest distance
 * of a listed tin bronze from ideal mixing, which outweighs the rest.
 *
 * @throws InvalidPlanError for readings that no sinking metal gives.
 */
export function densityFromWeighing({ airKg, waterKg, waterTemperatureC, meant }: Weighing): DensityResult {
  if (!(airKg.value > 0) || !(waterKg.value >= 0) || !(waterKg.value < airKg.value)) {
    throw new InvalidPlanError(
      "a bell weighs less in water than in air and sinks; check that the air weight comes first and both are above 0",
    );
  }
  if (!(waterTemperatureC.value >= 0 && waterTemperatureC.value <= 40)) {
    throw new InvalidPlanError(
      "water between 0 and 40 °C is needed; give the temperature of the water in the tub",
    );
  }
  const liftKg = airKg.value - waterKg.value;
  const water = waterDensityKgM3(waterTemperatureC.value);
  const value = (airKg.value * (water - AIR_KG_M3)) / liftKg + AIR_KG_M3;
  const waterCi95 = Math.abs(waterDensityKgM3(waterTemperatureC.value + waterTemperatureC.ci95) - water);
  // Partial derivatives of air / (air - water) with respect to the two readings, times the water's density.
  const ci95 = quadrature(
    (water * waterKg.value * airKg.ci95) / liftKg ** 2,
    (water * airKg.value * waterKg.ci95) / liftKg ** 2,
    (value * waterCi95) / water,
  );
  const densityKgM3 = { value, ci95 };
  // The lift is what water displaced weighs more than air displaced.
  const volume = liftKg / (water - AIR_KG_M3);
  const volumeCi95 = quadrature(quadrature(airKg.ci95, waterKg.ci95) / water, (volume * waterCi95) / water);
  const volumeM3 = { value: volume, ci95: volumeCi95 };
  return { densityKgM3, volumeM3, ...tinOf(densityKgM3), ...porosityOf(densityKgM3, meant), notes: NOTES };
}

const NOTES = [
  "Pores and tin do the same to the density: a porous bronze reads as one with more tin. Only a sound piece, or a piece cut free of pores, tells the tin.",
  "Air caught under the bell or on its skin reads as pores: turn it mouth up under water, wet it with a drop of soap, hang it on thin wire (common practice, no source).",
  "Other elements count as copper or tin here: lead reads as less tin, zinc and aluminium as more.",
];

function tinOf(
  densityKgM3: Estimate,
): Pick<DensityResult, "tinPercent" | "tinReason" | "pointsPerPercentPorosity"> {
  const copper = elementOf("Cu").densityKgM3;
  const tin = elementOf("Sn").densityKgM3;
  const perFraction = 1 / tin - 1 / copper;
  const percent = (100 * (1 / densityKgM3.value - 1 / copper)) / perFraction;
  const pointsPerRelative = 100 / (densityKgM3.value * perFraction);
  const relative = quadrature(densityKgM3.ci95 / densityKgM3.value, largestSheetDeviation());
  const tinReason = reasonAgainst(percent);
  return {
    tinPercent: tinReason === null ? { value: percent, ci95: pointsPerRelative * relative } : null,
    tinReason,
    pointsPerPercentPorosity: pointsPerRelative / 100,
  };
}

function reasonAgainst(percent: number): string | null {
  if (percent < 0) {
    return "It is denser than copper: weigh again, or it holds lead or another heavy metal.";
  }
  if (percent > 100) {
    return "It is lighter than tin: air or pores are in it, or it is not a bronze of copper and tin.";
  }
  return null;
}

/** Largest relative distance of a tin bronze's listed density from ideal mixing. */
function largestSheetDeviation(): number {
  let largest = 0;
  for (const sheet of ALLOY_SHEETS) {
    if (alloyFamilyOf(sheet.composition) !== "tin bronze") continue;
    for (const { densityKgM3 } of sheet.readings) {
      if (densityKgM3 === null) continue;
      largest = Math.max(largest, Math.abs(densityKgM3 / mixtureDensityKgM3(sheet.composition) - 1));
    }
  }
  return largest;
}

function porosityOf(
  densityKgM3: Estimate,
  meant: Composition | null,
): Pick<DensityResult, "porosityPercent"> {
  if (meant === null) return { porosityPercent: null };
  const sound = castDensityKgM3(meant).densityKgM3;
  const ratio = densityKgM3.value / sound.value;
  const relative = quadrature(densityKgM3.ci95 / densityKgM3.value, sound.ci95 / sound.value);
  return { porosityPercent: { value: 100 * (1 - ratio), ci95: 100 * ratio * relative } };
}
