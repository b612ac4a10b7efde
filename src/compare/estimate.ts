import type { Estimate } from "../measurement/index.ts";

/** Half-width of a 95 % interval in standard deviations of a normal value. */
export const SD_TO_CI95 = 1.959964;
export const CENTS_PER_NEPER = 1200 / Math.LN2;

/** Half-width as a part of the value; for positive values. */
export const relativeCi95 = ({ value, ci95 }: Estimate): number => ci95 / Math.abs(value);

/** Standard deviation of the logarithm of a positive estimate, to first order. */
export const sdOfLog = (estimate: Estimate): number => relativeCi95(estimate) / SD_TO_CI95;

/** b / a of independent positive estimates, to first order; null where one of them is missing. */
export function ratio(b: Estimate | null, a: Estimate | null): Estimate | null {
  if (a === null || b === null) return null;
  const value = b.value / a.value;
  return { value, ci95: value * Math.hypot(relativeCi95(a), relativeCi95(b)) };
}

/** b - a of independent estimates. */
export function difference(b: Estimate, a: Estimate): Estimate {
  return { value: b.value - a.value, ci95: Math.hypot(a.ci95, b.ci95) };
}

/** Product of independent positive estimates, to first order. */
export function product(a: Estimate, b: Estimate): Estimate {
  const value = a.value * b.value;
  return { value, ci95: value * Math.hypot(relativeCi95(a), relativeCi95(b)) };
}

/** exp of an estimate, to first order. */
export function exponential({ value, ci95 }: Estimate): Estimate {
  return { value: Math.exp(value), ci95: Math.exp(value) * ci95 };
}

/** Cents of a ratio. */
export function centsOf(of: Estimate): Estimate {
  return { value: CENTS_PER_NEPER * Math.log(of.value), ci95: CENTS_PER_NEPER * relativeCi95(of) };
}

/** An estimate times an exact number. */
export function scaled({ value, ci95 }: Estimate, factor: number): Estimate {
  return { value: value * factor, ci95: Math.abs(ci95 * factor) };
}

/** Middle value, the mean of the two middle ones for an even count; NaN for an empty list, which callers rule out. */
export function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return (sorted[sorted.length >> 1] + sorted[(sorted.length - 1) >> 1]) / 2;
}
