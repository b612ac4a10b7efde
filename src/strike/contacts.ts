/**
 * The instants at which the rod touches the bell, from what linear prediction cannot foretell.
 * A free ring is a sum of damped sinusoids, which a linear predictor foretells from its past; a contact is news.
 */

/** Predictor order at about 44 to 48 kHz: 1.4 ms of past. Faster recordings are averaged down to that rate first. */
const ORDER = 64;
const WORKING_RATE_HZ = 48000;
/** Length of ring that the predictor learns from, and the least that will do. */
const LEARN_S = 0.09;
const LEARN_LEAST_S = 0.02;
/** Steps of the prediction error's level; two make one level. */
const STEP_S = 0.00025;
/** A contact stands 5 dB over the highest level between 3.5 and 1 ms before it. */
const RISE = 3;
const BEFORE_STEPS = 14;
const APART_STEPS = 4;
/** It also stands 3 dB over all but the loudest twentieth of the ring after it, and not more than 23 dB under the loudest contact. */
const OVER_RING = 2;
const UNDER_LOUDEST = 5e-3;
/** The error of one contact lasts as long as the predictor's past. */
const BURST_STEPS = 8;

/**
 * Samples of the contacts between `from` and `to`, ascending; empty where none stands out.
 * `learnFrom` to `learnTo` is ring after the contacts, from which the predictor is learnt.
 *
 * 1. A predictor per channel (autocorrelation method, Hann window, Levinson's recursion).
 * 2. The prediction error's power, added over the channels, in steps of a quarter of a millisecond.
 * 3. Steps that stand out of the error before them and of the error in the ring.
 */
export function findContacts(
  channels: Float32Array[],
  sampleRateHz: number,
  from: number,
  to: number,
  learnFrom: number,
  learnTo: number,
): number[] {
  const stride = Math.max(1, Math.round(sampleRateHz / WORKING_RATE_HZ));
  const rateHz = sampleRateHz / stride;
  const step = Math.max(2, Math.round(STEP_S * rateHz));
  const learnSamples = Math.min(Math.floor((learnTo - learnFrom) / stride), Math.round(LEARN_S * rateHz));
  const order = Math.min(ORDER, Math.floor(learnSamples / 8));
  if (learnSamples < LEARN_LEAST_S * rateHz) return [];
  const history = order * stride;
  const begin = Math.max(0, from - history);
  const steps = Math.floor(Math.floor((to - begin) / stride) / step);
  if (steps < BEFORE_STEPS) return [];
  const error = new Float64Array(steps);
  const ringSteps = Math.floor(learnSamples / step);
  const ringError = new Float64Array(ringSteps);
  const samples = new Float64Array(Math.max(steps * step, learnSamples));
  for (const channel of channels) {
    average(channel, learnFrom, stride, learnSamples, samples);
    const predictor = learnPredictor(samples, learnSamples, order);
    addErrorPower(samples, predictor, step, ringSteps, ringError);
    average(channel, begin, stride, steps * step, samples);
    addErrorPower(samples, predictor, step, steps, error);
  }
  // The predictor has no past in its first steps.
  const blind = Math.ceil(order / step) + 1;
  const ring = ringError.slice(Math.min(blind, ringSteps - 1)).sort();
  const starts = risesOf(error, begin === 0 ? 0 : blind, ring[Math.floor(0.95 * (ring.length - 1))]);
  return starts.map((i) => begin + i * step * stride).filter((sample) => sample >= from && sample < to);
}

/** Mean of `stride` samples at a time into `out`. */
function average(x: Float32Array, start: number, stride: number, count: number, out: Float64Array): void {
  for (let n = 0, p = start; n < count; n++) {
    let sum = 0;
    for (let i = 0; i < stride; i++) sum += x[p++];
    out[n] = sum / stride;
  }
}

/** Coefficients a of the prediction error e(n) = sum a(j) x(n - j), a(0) = 1. */
function learnPredictor(samples: Float64Array, count: number, order: number): Float64Array {
  const windowed = new Float64Array(count);
  for (let n = 0; n < count; n++) {
    windowed[n] = samples[n] * (0.5 - 0.5 * Math.cos((2 * Math.PI * (n + 0.5)) / count));
  }
  const correlation = new Float64Array(order + 1);
  for (let lag = 0; lag <= order; lag++) {
    let sum = 0;
    for (let n = lag; n < count; n++) sum += windowed[n] * windowed[n - lag];
    correlation[lag] = sum;
  }
  const a = new Float64Array(order + 1);
  a[0] = 1;
  // A little white noise keeps the recursion well conditioned on a pure tone.
  let remaining = correlation[0] * (1 + 1e-9);
  if (remaining <= 0) return a;
  const last = new Float64Array(order + 1);
  for (let i = 1; i <= order; i++) {
    let reflection = correlation[i];
    for (let j = 1; j < i; j++) reflection += a[j] * correlation[i - j];
    reflection = -reflection / remaining;
    last.set(a);
    for (let j = 1; j < i; j++) a[j] = last[j] + reflection * last[i - j];
    a[i] = reflection;
    remaining *= 1 - reflection * reflection;
  }
  return a;
}

/** Adds the mean power of the prediction error of each step to `error`; samples before the first count as zero. */
function addErrorPower(
  x: Float64Array,
  a: Float64Array,
  step: number,
  steps: number,
  error: Float64Array,
): void {
  for (let s = 0; s < steps; s++) {
    let power = 0;
    for (let n = s * step; n < (s + 1) * step; n++) {
      const past = Math.min(a.length - 1, n);
      let e = 0;
      for (let j = 0; j <= past; j++) e += a[j] * x[n - j];
      power += e * e;
    }
    error[s] += power / step;
  }
}

/** Steps at which the error begins to rise out of what was before. */
function risesOf(error: Float64Array, first: number, ringError: number): number[] {
  const levelAt = (i: number) => (i < 0 ? 0 : (error[i] + error[Math.min(i + 1, error.length - 1)]) / 2);
  let loudest = 0;
  for (let i = first; i < error.length; i++) loudest = Math.max(loudest, levelAt(i));
  const least = Math.max(OVER_RING * ringError, UNDER_LOUDEST * loudest);
  const starts: number[] = [];
  // Nothing is before the beginning of a recording; elsewhere a rise needs something to rise from.
  for (let i = first === 0 ? 0 : first + BEFORE_STEPS; i < error.length; i++) {
    const level = levelAt(i);
    if (level <= least) continue;
    let before = 0;
    for (let j = i - BEFORE_STEPS; j <= i - APART_STEPS; j++)
      if (j >= first) before = Math.max(before, levelAt(j));
    if (level <= RISE * before) continue;
    let peak = level;
    for (let j = i; j < Math.min(i + BURST_STEPS, error.length); j++) peak = Math.max(peak, levelAt(j));
    let start = i;
    while (start + 1 < error.length && error[start] < 0.1 * peak && error[start] < least) start++;
    starts.push(start);
    i = start + BURST_STEPS;
  }
  return starts;
}
