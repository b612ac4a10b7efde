import { studentT975, widening } from "./correlated.ts";

/** The last exponential part of a ring: the natural logarithm of its noise-free power is logPower - rate (step - middle). */
export interface LateDecay {
  logPower: number;
  /** Fall of the logarithm per step. */
  rate: number;
  middle: number;
  /** Degrees of freedom of the fit. */
  degrees: number;
  /** Standard deviation of the rate, and of the line at a step. */
  rateSd: number;
  sdAt(step: number): number;
}

/** Of the power over the noise: where the fit ends (5 dB), and how far over that it begins (20 dB). */
const FIT_END = 3.16;
const FIT_SPAN = 100;
const FEWEST_INTERVALS = 5;
/** Intervals per 10 dB of decay, and their bounds in seconds. */
const PER_10_DB = 8;
const SHORTEST_S = 0.005;
const LONGEST_S = 0.1;
const ROUNDS = 4;
/** Median over this many intervals, so that a click after the ring does not count as its end. */
const MEDIAN = 5;

/**
 * Straight line through the logarithm of the short-time power, noise taken off, over the last 20 dB that stand 5 dB over the noise; the
 * length of the short time follows from the slope found (A. Lundeby et al., Uncertainties of measurements in room acoustics, Acustica 81,
 * 1995, from memory). Null where nothing falls, or too little stands over the noise.
 *
 * `power` is the mean power of each step of `stepS` seconds.
 */
export function fitLateDecay(power: Float64Array, stepS: number, noise: number): LateDecay | null {
  let interval = Math.max(1, Math.round(0.02 / stepS));
  let found: LateDecay | null = null;
  for (let round = 0; round < ROUNDS; round++) {
    const fit = fitLine(power, interval, noise);
    if (fit === null) return found;
    found = fit;
    const time = (Math.log(10) / fit.rate) * stepS;
    const next = Math.min(LONGEST_S, Math.max(SHORTEST_S, time / PER_10_DB));
    interval = Math.max(1, Math.round(next / stepS));
  }
  return found;
}

function fitLine(power: Float64Array, interval: number, noise: number): LateDecay | null {
  const count = Math.floor(power.length / interval);
  const level = new Float64Array(count);
  for (let j = 0; j < count; j++) {
    let sum = 0;
    for (let i = j * interval; i < (j + 1) * interval; i++) sum += power[i];
    level[j] = sum / interval;
  }
  const smooth = medians(level);
  let end = count;
  while (end > 0 && smooth[end - 1] <= FIT_END * noise) end--;
  if (end < FEWEST_INTERVALS) return null;
  let start = end - 1;
  while (start > 0 && smooth[start - 1] < FIT_SPAN * smooth[end - 1]) start--;
  start = Math.max(0, Math.min(start, end - FEWEST_INTERVALS));
  const x: number[] = [];
  const y: number[] = [];
  for (let j = start; j < end; j++) {
    if (level[j] <= noise) continue;
    x.push((j + 0.5) * interval);
    y.push(Math.log(level[j] - noise));
  }
  return line(x, y);
}

function medians(level: Float64Array): Float64Array {
  const half = (MEDIAN - 1) / 2;
  return level.map((_, j) => {
    const around = level.slice(Math.max(0, j - half), j + half + 1).sort();
    return around[(around.length - 1) >> 1];
  });
}

function line(x: number[], y: number[]): LateDecay | null {
  const n = x.length;
  if (n < FEWEST_INTERVALS) return null;
  const middle = x.reduce((a, b) => a + b, 0) / n;
  const mean = y.reduce((a, b) => a + b, 0) / n;
  let sxx = 0;
  let sxy = 0;
  for (let i = 0; i < n; i++) {
    sxx += (x[i] - middle) ** 2;
    sxy += (x[i] - middle) * y[i];
  }
  const slope = sxy / sxx;
  const residuals = y.map((value, i) => value - mean - slope * (x[i] - middle));
  const wide = widening(residuals) * Math.sqrt(n / (n - 2));
  // Residuals grow towards the noise, so each counts with its own weight in what is asked (the sandwich estimate of White 1980).
  const sdOf = (weight: (x: number) => number) =>
    wide * Math.sqrt(residuals.reduce((sum, r, i) => sum + (r * weight(x[i])) ** 2, 0));
  const rateSd = sdOf((at) => (at - middle) / sxx);
  // A slope that could be none is no decay.
  if (-slope <= studentT975(n - 2) * rateSd) return null;
  const sdAt = (step: number) => sdOf((at) => 1 / n + ((step - middle) * (at - middle)) / sxx);
  return { logPower: mean, rate: -slope, middle, degrees: n - 2, rateSd, sdAt };
}
