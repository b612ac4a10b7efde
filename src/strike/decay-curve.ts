import type { Estimate } from "../measurement/index.ts";
import { studentT975 } from "./correlated.ts";
import { fitLateDecay } from "./late-decay.ts";

/** Decay of the whole sound. */
export interface DecayCurve {
  /** Time from one value to the next; the first is at the onset. */
  stepS: number;
  /** Energy still to come, dB relative to all of it. Ends where the ring meets the noise or the record ends. */
  levelDb: Float64Array;
  /** The same with noise and truncation at the ends of their 95 % intervals: most noise, least energy beyond; and the other way. */
  levelLowDb: Float64Array;
  levelHighDb: Float64Array;
  /** Energy beyond the end of the curve, from the late decay, dB relative to all of it: what the curve can be trusted down to, less 10 dB. */
  beyondDb: number;
  /** Most that the noise can be, as the energy of one step, dB relative to all energy; -Infinity without noise. */
  noiseDb: number;
  /** Time from the onset at which the level of the ring is that of the noise; null where the record ends before. */
  meetsNoiseS: Estimate | null;
}

const STEP_S = 0.001;

/**
 * Backward-integrated energy of a ring with noise compensation (M. R. Schroeder, J. Acoust. Soc. Am. 37, 409, 1965; ISO 3382-1).
 *
 * 1. Energy per millisecond, added over the channels, less the energy of the noise.
 * 2. The late decay (late-decay.ts) says where the ring meets the noise; there the integral is cut, and what the late decay would
 *    still bring is added.
 * 3. Integrated from that point back to the onset.
 *
 * `noisePowerPerSample` is the mean of the sum over the channels of the squared noise samples; value 0 where
 * the noise is not seen, with a half-width that says what it can be at most.
 * Null where no decay stands over the noise.
 */
export function decayCurve(
  channels: Float32Array[],
  sampleRateHz: number,
  onsetSample: number,
  endSample: number,
  noisePowerPerSample: Estimate,
): DecayCurve | null {
  const step = Math.max(1, Math.round(STEP_S * sampleRateHz));
  const stepS = step / sampleRateHz;
  const power = stepPowers(channels, onsetSample, endSample, step);
  const noise = noisePowerPerSample.value;
  const late = fitLateDecay(power, stepS, noise);
  if (late === null) return null;
  const t = studentT975(late.degrees);
  let end = power.length;
  let meetsNoiseS: Estimate | null = null;
  if (noise > 0) {
    const meets = late.middle + (late.logPower - Math.log(noise)) / late.rate;
    if (meets < 1) return null;
    if (meets <= power.length) {
      const noiseSd = noisePowerPerSample.ci95 / 1.96 / noise;
      const sd = Math.hypot(late.sdAt(meets), noiseSd) / late.rate;
      meetsNoiseS = { value: meets * stepS, ci95: t * sd * stepS };
      end = Math.floor(meets);
    }
  }
  const logAtEnd = late.logPower - late.rate * (end - late.middle);
  const beyond = Math.exp(logAtEnd) / late.rate;
  const beyondSd = Math.hypot(late.sdAt(end), late.rateSd / late.rate);
  const spread = Math.exp(t * beyondSd);
  const all = integrate(power, end, noise, beyond);
  const low = integrate(power, end, noise + noisePowerPerSample.ci95, beyond / spread);
  const high = integrate(power, end, Math.max(0, noise - noisePowerPerSample.ci95), beyond * spread);
  if (all[0] <= 0 || low[0] <= 0) return null;
  return {
    stepS,
    levelDb: decibels(all),
    levelLowDb: decibels(low),
    levelHighDb: decibels(high),
    beyondDb: 10 * Math.log10(beyond / all[0]),
    noiseDb: 10 * Math.log10((noise + noisePowerPerSample.ci95) / all[0]),
    meetsNoiseS,
  };
}

function stepPowers(channels: Float32Array[], from: number, to: number, step: number): Float64Array {
  const power = new Float64Array(Math.max(0, Math.floor((to - from) / step)));
  for (const channel of channels) {
    for (let i = 0; i < power.length; i++) {
      let sum = 0;
      for (let n = from + i * step; n < from + (i + 1) * step; n++) sum += channel[n] * channel[n];
      power[i] += sum / step;
    }
  }
  return power;
}

/** Energy from each step on, in steps of power; one value more than there are steps. */
function integrate(power: Float64Array, end: number, noise: number, beyond: number): Float64Array {
  const energy = new Float64Array(end + 1);
  energy[end] = beyond;
  for (let i = end - 1; i >= 0; i--) energy[i] = energy[i + 1] + power[i] - noise;
  return energy;
}

/** Relative to the first value; where noise left nothing, the level stays at the lowest before. */
function decibels(energy: Float64Array): Float64Array {
  const level = new Float64Array(energy.length);
  let lowest = energy[0];
  for (let i = 0; i < energy.length; i++) {
    if (energy[i] > 0) lowest = Math.min(lowest, energy[i]);
    level[i] = 10 * Math.log10(lowest / energy[0]);
  }
  return level;
}
