import type { Estimate } from "../measurement/index.ts";

const CENTS_PER_NEPER = 1200 / Math.LN2;

/** Half-width of a 95 % interval in standard deviations of a normal quantity. */
export const SD_TO_CI95 = 1.959964;

/** Interval in cents from an exact frequency to a measured one, to first order. */
export function centsFrom(targetHz: number, { value, ci95 }: Estimate): Estimate {
  return {
    value: CENTS_PER_NEPER * Math.log(value / targetHz),
    ci95: (CENTS_PER_NEPER * ci95) / value,
  };
}

export const centsBetween = (lowHz: number, highHz: number): number => 1200 * Math.log2(highHz / lowHz);

export const shiftedHz = (hertz: number, cents: number): number => hertz * 2 ** (cents / 1200);

export function minus(a: Estimate, b: Estimate): Estimate {
  return { value: a.value - b.value, ci95: Math.hypot(a.ci95, b.ci95) };
}

export function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return (sorted[sorted.length >> 1]! + sorted[(sorted.length - 1) >> 1]!) / 2;
}

/** Mean of independent estimates; the interval is that of their measurement alone. */
export function meanOf(estimates: readonly Estimate[]): Estimate {
  const n = estimates.length;
  return {
    value: estimates.reduce((sum, e) => sum + e.value, 0) / n,
    ci95: Math.hypot(...estimates.map((e) => e.ci95)) / n,
  };
}
