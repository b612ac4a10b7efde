import type { Estimate } from "../measurement/index.ts";

const CENTS_PER_NEPER = 1200 / Math.LN2;

/** 1200 log2(a / b): the interval in cents (Ellis 1885). */
export function cents(a: number, b: number): number {
  return CENTS_PER_NEPER * Math.log(a / b);
}

/** `estimate` times an exact number. */
export function scaled(estimate: Estimate, factor: number): Estimate {
  return { value: estimate.value * factor, ci95: Math.abs(factor) * estimate.ci95 };
}

/** a / b of two independent estimates, to first order; b not 0. */
export function quotient(a: Estimate, b: Estimate): Estimate {
  const value = a.value / b.value;
  return { value, ci95: Math.hypot(a.ci95 / b.value, (value * b.ci95) / b.value) };
}

/** Cents of a positive estimate over an exact positive number, to first order. */
export function centsAbove(estimate: Estimate, reference: number): Estimate {
  return {
    value: cents(estimate.value, reference),
    ci95: (CENTS_PER_NEPER * estimate.ci95) / estimate.value,
  };
}
