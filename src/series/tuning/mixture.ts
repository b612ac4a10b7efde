import type { Estimate } from "../../measurement/index.ts";

/** A mixture of normal distributions: weights that sum to 1, means, standard deviations. */
export interface NormalMixture {
  weight: Float64Array;
  mean: Float64Array;
  sd: Float64Array;
}

/** Standard normal distribution function; absolute error below 7.5e-8 (Abramowitz & Stegun 1964, 26.2.17). */
export function normalBelow(z: number): number {
  const size = Math.abs(z);
  const t = 1 / (1 + 0.2316419 * size);
  const tail =
    (Math.exp((-size * size) / 2) / Math.sqrt(2 * Math.PI)) *
    t *
    (0.31938153 + t * (-0.356563782 + t * (1.781477937 + t * (-1.821255978 + t * 1.330274429))));
  return z > 0 ? 1 - tail : tail;
}

/** Probability that the mixture lies below `x`. */
export function mixtureBelow({ weight, mean, sd }: NormalMixture, x: number): number {
  let sum = 0;
  for (let i = 0; i < weight.length; i++) sum += weight[i]! * normalBelow((x - mean[i]!) / sd[i]!);
  return sum;
}

export function mixtureMean({ weight, mean }: NormalMixture): number {
  return weight.reduce((sum, w, i) => sum + w * mean[i]!, 0);
}

const BISECTIONS = 36;
/** No mixture of these has anything to tell beyond so many of its widest standard deviations. */
const WIDEST = 10;

/** The value that the mixture lies below with this probability. */
export function mixtureQuantile(mixture: NormalMixture, probability: number): number {
  const { mean, sd } = mixture;
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < mean.length; i++) {
    low = Math.min(low, mean[i]! - WIDEST * sd[i]!);
    high = Math.max(high, mean[i]! + WIDEST * sd[i]!);
  }
  for (let step = 0; step < BISECTIONS; step++) {
    const middle = (low + high) / 2;
    if (mixtureBelow(mixture, middle) < probability) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/** Mean, with the half-width that reaches the farther end of the central 95 %. */
export function mixtureEstimate(mixture: NormalMixture): Estimate {
  const value = mixtureMean(mixture);
  const ci95 = Math.max(value - mixtureQuantile(mixture, 0.025), mixtureQuantile(mixture, 0.975) - value);
  return { value, ci95 };
}
