import { RealFft } from "../spectrum/index.ts";

/** Short-time power in frequency bands; frame k covers samples k * hopSamples up to k * hopSamples + windowSamples. */
export interface BandLevels {
  sampleRateHz: number;
  windowSamples: number;
  hopSamples: number;
  frames: number;
  bands: number;
  /** frames x bands, row by row: power per sample that white noise of this density would have. */
  power: Float32Array;
  /** Power below which a band counts as silent: 120 dB under the loudest band of the recording, and 24-bit rounding at least. */
  silence: number;
}

/** Power of 24-bit rounding, per sample at full scale 1: no recording has less noise than this. */
export const ROUNDING_24_BIT_POWER = 2 ** -46 / 12;
/** Window of 512 samples at 44.1 and 48 kHz, about 11 ms. */
const WINDOW_S = 0.0112;
/** Below this lie mains hum and rumble. */
const LOWEST_BIN = 2;
/** Bands hold one bin up to here and then up to four, so that a lone partial still stands out of its band. */
const SINGLE_BINS = 16;
const PAIRED_BINS = 64;

/**
 * Short-time spectrum of a recording in about 90 bands (Hann window, hop 3/8 of it).
 * The channels' powers are added, not their samples, which could cancel.
 * A recording shorter than the window gives no frames.
 */
export function bandLevels(channels: Float32Array[], sampleRateHz: number): BandLevels {
  const windowSamples = Math.max(32, 2 ** Math.round(Math.log2(WINDOW_S * sampleRateHz)));
  const hopSamples = (windowSamples * 3) / 8;
  const samples = channels[0]?.length ?? 0;
  const frames = samples < windowSamples ? 0 : Math.floor((samples - windowSamples) / hopSamples) + 1;
  const edges = bandEdges(windowSamples / 2);
  const bands = edges.length - 1;
  const power = new Float32Array(frames * bands);
  const fft = new RealFft(windowSamples);
  const re = new Float64Array(windowSamples / 2 + 1);
  const im = new Float64Array(windowSamples / 2 + 1);
  const window = new Float64Array(windowSamples);
  for (let n = 0; n < windowSamples; n++) window[n] = 0.5 - 0.5 * Math.cos((2 * Math.PI * n) / windowSamples);
  const scale = 1 / (0.375 * windowSamples);
  const frame = new Float64Array(windowSamples);
  for (const channel of channels) {
    for (let k = 0; k < frames; k++) {
      const start = k * hopSamples;
      for (let n = 0; n < windowSamples; n++) frame[n] = window[n] * channel[start + n];
      fft.forward(frame, 0, re, im);
      const row = k * bands;
      for (let b = 0; b < bands; b++) {
        let sum = 0;
        for (let i = edges[b]; i < edges[b + 1]; i++) sum += re[i] * re[i] + im[i] * im[i];
        power[row + b] += (sum * scale) / (edges[b + 1] - edges[b]);
      }
    }
  }
  let loudest = 0;
  for (let i = 0; i < power.length; i++) if (power[i] > loudest) loudest = power[i];
  return {
    sampleRateHz,
    windowSamples,
    hopSamples,
    frames,
    bands,
    power,
    silence: Math.max(loudest * 1e-12, ROUNDING_24_BIT_POWER),
  };
}

/** First bin of every band, and one past the last bin of the last band. */
function bandEdges(bins: number): number[] {
  const edges = [];
  for (let i = LOWEST_BIN; i < bins; i += i < SINGLE_BINS ? 1 : i < PAIRED_BINS ? 2 : 4) edges.push(i);
  edges.push(bins);
  return edges;
}

/** Frames in a time, at least one. */
export function framesIn(levels: BandLevels, timeS: number): number {
  return Math.max(1, Math.round((timeS * levels.sampleRateHz) / levels.hopSamples));
}
