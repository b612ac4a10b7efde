import type { Estimate } from "../measurement/index.ts";
import { quotient, scaled } from "./estimate.ts";

/**
 * The damping of one mode in its usual measures. With the decay rate alpha of the amplitude, exp(-alpha t):
 * T60 = ln(1000) / alpha, Q = pi f / alpha, loss factor = 1 / Q. Intervals are to first order, frequency and
 * decay taken as independent.
 *
 * Cremer & Heckl, Structure-Borne Sound.
 */

/** ln of the amplitude ratio of 60 dB. */
const LN_1000 = Math.log(1000);
const ONE: Estimate = { value: 1, ci95: 0 };

/** alpha in 1/s of a 60 dB decay time in seconds. */
export function decayRatePerS(decayTimeS: Estimate): Estimate {
  return quotient({ value: LN_1000, ci95: 0 }, decayTimeS);
}

/** 60 dB decay time in seconds of alpha in 1/s. */
export function decayTimeS(ratePerS: Estimate): Estimate {
  return quotient({ value: LN_1000, ci95: 0 }, ratePerS);
}

/** Q = pi f T60 / ln(1000). */
export function qualityFactor(frequencyHz: Estimate, timeS: Estimate): Estimate {
  return quotient(scaled(frequencyHz, Math.PI), decayRatePerS(timeS));
}

/** Loss factor 1/Q = ln(1000) / (pi f T60). */
export function lossFactor(frequencyHz: Estimate, timeS: Estimate): Estimate {
  return quotient(ONE, qualityFactor(frequencyHz, timeS));
}
