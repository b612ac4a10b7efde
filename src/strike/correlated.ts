import type { Estimate } from "../measurement/index.ts";

/** 97.5 % point of Student's t, within 1 % from two degrees of freedom on (Cornish-Fisher expansion; Abramowitz & Stegun 26.7.5). */
export function studentT975(degrees: number): number {
  if (degrees < 1.5) return 12.706;
  if (degrees < 2.5) return 4.303;
  const z = 1.959964;
  const g1 = (z ** 3 + z) / 4;
  const g2 = (5 * z ** 5 + 16 * z ** 3 + 3 * z) / 96;
  const g3 = (3 * z ** 7 + 19 * z ** 5 + 17 * z ** 3 - 15 * z) / 384;
  return z + g1 / degrees + g2 / degrees ** 2 + g3 / degrees ** 3;
}

/**
 * How much wider an interval becomes when neighbours are alike: sqrt((1 + r) / (1 - r)) for the lag-one correlation r of residuals,
 * that of a first-order autoregression. r counts from 0 to 0.8; a negative one could be chance.
 */
export function widening(residuals: ArrayLike<number>): number {
  let lagged = 0;
  let power = 0;
  for (let i = 0; i < residuals.length; i++) {
    power += residuals[i] ** 2;
    if (i > 0) lagged += residuals[i] * residuals[i - 1];
  }
  if (power === 0) return 1;
  const r = Math.min(0.8, Math.max(0, lagged / power));
  return Math.sqrt((1 + r) / (1 - r));
}

/** Mean of a series whose neighbours may be alike, with its 95 % half-width; null for fewer than two. */
export function meanOfCorrelated(values: ArrayLike<number>): Estimate | null {
  const count = values.length;
  if (count < 2) return null;
  let mean = 0;
  for (let i = 0; i < count; i++) mean += values[i] / count;
  const residuals = Float64Array.from(values, (value) => value - mean);
  const variance = residuals.reduce((sum, r) => sum + r * r, 0) / (count - 1);
  return { value: mean, ci95: studentT975(count - 1) * Math.sqrt(variance / count) * widening(residuals) };
}
