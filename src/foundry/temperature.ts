import type { Estimate } from "../measurement/index.ts";
import data from "./data/scaling-laws.json" with { type: "json" };
import { quadrature } from "./estimate.ts";

/** Where the coefficient comes from, one sentence. */
export const TEMPERATURE_SOURCE = `${data.temperature.law}; ${data.temperature.source}`;

/**
 * Relative change of every frequency of a free body of fixed mass for one kelvin: f ~ sqrt(E x length), so half
 * the sum of the relative changes of Young's modulus and of length. Below zero: a warm bell sounds flatter.
 */
export function temperatureCoefficientPerK(
  modulusPerK: Estimate = data.temperature.modulusPerK,
  expansionPerK: Estimate = data.temperature.expansionPerK,
): Estimate {
  return {
    value: (modulusPerK.value + expansionPerK.value) / 2,
    ci95: quadrature(modulusPerK.ci95, expansionPerK.ci95) / 2,
  };
}

/** Frequency at one temperature over that at another, first order in the difference. */
export function temperatureRatio(
  fromC: number,
  toC: number,
  perK: Estimate = temperatureCoefficientPerK(),
): Estimate {
  const differenceK = toC - fromC;
  return { value: 1 + perK.value * differenceK, ci95: perK.ci95 * Math.abs(differenceK) };
}
