import type { Estimate } from "../measurement/index.ts";

/**
 * Arithmetic on values with their 95 % half-widths, first order, independent errors added in quadrature
 * (JCGM 100:2008, GUM, 5.1.2). Relative half-widths are plain fractions: 0.05 is 5 %.
 */

/** A value that is exact by definition. */
export function exact(value: number): Estimate {
  return { value, ci95: 0 };
}

/** Half-width over the value's size; 0 for an exact value. */
export function relativeCi95(estimate: Estimate): number {
  return estimate.ci95 === 0 ? 0 : estimate.ci95 / Math.abs(estimate.value);
}

/** Square root of the sum of squares. */
export function quadrature(...halfWidths: number[]): number {
  return Math.hypot(...halfWidths);
}

/** A value with the half-width that independent relative half-widths give together. */
export function withRelative(value: number, ...relative: number[]): Estimate {
  return { value, ci95: Math.abs(value) * quadrature(...relative) };
}

/** The middle of two readings and what reaches both. */
export function spanning(low: number, high: number): Estimate {
  return { value: (low + high) / 2, ci95: Math.abs(high - low) / 2 };
}

/** Two-sided 95 % quantiles of Student's t for 1 to 30 degrees of freedom (any table of the distribution). */
const T_95 = [
  12.706, 4.303, 3.182, 2.776, 2.571, 2.447, 2.365, 2.306, 2.262, 2.228, 2.201, 2.179, 2.16, 2.145, 2.131,
  2.12, 2.11, 2.101, 2.093, 2.086, 2.08, 2.074, 2.069, 2.064, 2.06, 2.056, 2.052, 2.048, 2.045, 2.042,
];

/** Student's t: 95 % of its values lie within plus or minus this. Beyond 30 degrees its series in 1/dof. */
export function studentT95(degreesOfFreedom: number): number {
  return T_95[degreesOfFreedom - 1] ?? 1.96 + 2.372 / degreesOfFreedom + 2.8 / degreesOfFreedom ** 2;
}
