import FFT from "fft.js";
import { decayRateOfT60 } from "../synthetic/index.ts";
import { addDampedSinusoid } from "../synthetic/modes.ts";
import type { CastMode } from "./cast.ts";

/** The ring of the modes from sample `start` on, as after an infinitely short blow. */
export function addModes(
  target: Float64Array,
  sampleRateHz: number,
  start: number,
  modes: CastMode[],
  strength = 1,
): void {
  for (const { frequencyHz, t60S, amplitude, phaseRad } of modes) {
    addDampedSinusoid(
      target,
      sampleRateHz,
      start,
      frequencyHz,
      decayRateOfT60(t60S),
      strength * amplitude,
      phaseRad,
    );
  }
}

/** Force of a blow that lasts: half a sine of sum 1, a sample or more long. */
export function blowOf(contactS: number, sampleRateHz: number): Float64Array {
  const count = Math.max(1, Math.round(contactS * sampleRateHz));
  const blow = Float64Array.from({ length: count }, (_, i) => Math.sin((Math.PI * (i + 0.5)) / count));
  const sum = blow.reduce((total, x) => total + x, 0);
  return blow.map((x) => x / sum);
}

/**
 * What a response makes of a damped sinusoid once the response is over, relative to the sinusoid itself: its transfer
 * function at the mode's complex frequency. Only for modes that decay slower than the response.
 */
export function gainOf(
  response: Float64Array,
  sampleRateHz: number,
  frequencyHz: number,
  t60S: number,
): number {
  const step = (2 * Math.PI * frequencyHz) / sampleRateHz;
  const growth = Math.exp(decayRateOfT60(t60S) / sampleRateHz);
  const turnRe = growth * Math.cos(step);
  const turnIm = -growth * Math.sin(step);
  let re = 1;
  let im = 0;
  let sumRe = 0;
  let sumIm = 0;
  for (let n = 0; n < response.length; n++) {
    sumRe += response[n] * re;
    sumIm += response[n] * im;
    const next = re * turnRe - im * turnIm;
    im = re * turnIm + im * turnRe;
    re = next;
  }
  return Math.hypot(sumRe, sumIm);
}

/** Linear convolution, as long as the first. Blocks of the first are packed in pairs into one complex transform. */
export function convolve(signal: Float64Array, response: Float64Array): Float64Array {
  let size = 1024;
  while (size < 4 * response.length) size *= 2;
  const step = size - response.length + 1;
  const fft = new FFT(size);
  const packed = new Float64Array(2 * size);
  const of = new Float64Array(2 * size);
  for (let i = 0; i < response.length; i++) packed[2 * i] = response[i];
  fft.transform(of, packed);
  const spectrum = new Float64Array(2 * size);
  const out = new Float64Array(signal.length);
  for (let from = 0; from < signal.length; from += 2 * step) {
    packed.fill(0);
    for (let i = 0; i < step; i++) {
      packed[2 * i] = signal[from + i] ?? 0;
      packed[2 * i + 1] = signal[from + step + i] ?? 0;
    }
    fft.transform(spectrum, packed);
    for (let k = 0; k < 2 * size; k += 2) {
      const re = spectrum[k] * of[k] - spectrum[k + 1] * of[k + 1];
      spectrum[k + 1] = spectrum[k] * of[k + 1] + spectrum[k + 1] * of[k];
      spectrum[k] = re;
    }
    fft.inverseTransform(packed, spectrum);
    for (let i = 0; i < size; i++) {
      if (from + i < out.length) out[from + i] += packed[2 * i];
      if (from + step + i < out.length) out[from + step + i] += packed[2 * i + 1];
    }
  }
  return out;
}

const HALF_TAPS = 8;

/** The signal heard `delaySamples(i)` samples later: a windowed sinc of 16 taps. */
export function delayed(signal: Float64Array, delaySamples: (sample: number) => number): Float64Array {
  const out = new Float64Array(signal.length);
  for (let i = 0; i < out.length; i++) {
    const at = i - delaySamples(i);
    const whole = Math.floor(at);
    const part = at - whole;
    if (part === 0) {
      out[i] = signal[whole] ?? 0;
      continue;
    }
    // sin(pi (part - k)) is the same for all taps but for its sign.
    const sine = Math.sin(Math.PI * part) / Math.PI;
    let sum = 0;
    for (let k = 1 - HALF_TAPS; k <= HALF_TAPS; k++) {
      const x = part - k;
      const window = 0.5 + 0.5 * Math.cos((Math.PI * x) / HALF_TAPS);
      sum += (signal[whole + k] ?? 0) * ((k & 1) === 0 ? sine : -sine) * (window / x);
    }
    out[i] = sum;
  }
  return out;
}

/** Rounds to 16 bits; what is over full scale is cut. */
export function to16Bits(signal: Float64Array, scale: number): Float32Array {
  const out = new Float32Array(signal.length);
  for (let i = 0; i < signal.length; i++) {
    out[i] = Math.max(-32768, Math.min(32767, Math.round(signal[i] * scale * 32768))) / 32768;
  }
  return out;
}

/** Variance of the rounding to 16 bits. */
export const ROUNDING_VARIANCE = 2 ** -30 / 12;

export function peakOf(signal: Float64Array): number {
  let peak = 0;
  for (let i = 0; i < signal.length; i++) peak = Math.max(peak, Math.abs(signal[i]));
  return peak;
}
