import FFT from "fft.js";
import type { ModeEstimate } from "../support/synthetic/index.ts";
import { type Estimator, timed } from "./estimator.ts";

/** Peaks are searched this far below the strongest, dB, and must stand this far out of the median spectrum. */
const RANGE_DB = 60;
const OVER_MEDIAN_DB = 15;
/** Peaks nearer than this to a stronger one, or standing out of its skirt by less, are not counted. */
const APART_HZ = 2;
const PROMINENCE_DB = 6;
const HALF_BAND_HZ = 10;
/** The line is fitted to the envelope between these levels below its top. */
const FIT_FROM_DB = 3;
const FIT_TO_DB = 30;

/**
 * The ordinary method, to stand beside: 1. from the largest sample on, an FFT under the falling half of a Hann window; 2. its peaks, by a parabola
 * through the logarithms; 3. for each the band of 10 Hz either way (half the way to its neighbours) cut out of the
 * unwindowed FFT, the envelope of the band by inverse FFT; 4. a straight line through the logarithm of the envelope.
 * baseline.py beside this file is the same with scipy. First channel only.
 */
export const ordinaryMethod: Estimator = {
  name: "ordinary",
  hasIntervals: false,
  fit(channels, sampleRateHz) {
    const stages: { name: string; ms: number }[] = [];
    const signal = channels[0];
    let start = 0;
    for (let n = 0; n < signal.length; n++) if (Math.abs(signal[n]) > Math.abs(signal[start])) start = n;
    const ring = signal.subarray(start);
    const spectrum = timed(stages, "FFT", () => transform(ring));
    const peaks = timed(stages, "peaks", () => findPeaks(spectrum.levelDb, sampleRateHz / spectrum.size));
    const estimates = timed(stages, "envelopes", () =>
      peaks.map((frequencyHz, i) => {
        const below = i > 0 ? (frequencyHz - peaks[i - 1]) / 2 : HALF_BAND_HZ;
        const above = i + 1 < peaks.length ? (peaks[i + 1] - frequencyHz) / 2 : HALF_BAND_HZ;
        const lowHz = frequencyHz - Math.min(below, HALF_BAND_HZ);
        const highHz = frequencyHz + Math.min(above, HALF_BAND_HZ);
        const envelope = bandEnvelope(spectrum, lowHz, highHz, sampleRateHz).subarray(0, ring.length);
        return { frequencyHz, ...fitDecay(envelope, sampleRateHz) };
      }),
    );
    return {
      estimates: estimates.filter((e) => e.decayRatePerS > 0).map(withoutInterval),
      referenceSample: start,
      startSample: start,
      stages,
      freeDecay: true,
    };
  },
};

interface Spectrum {
  size: number;
  fft: FFT;
  /** Interleaved re, im of the unwindowed record, zero-padded to a power of two. */
  plain: number[];
  /** Level of the windowed record per bin. */
  levelDb: Float64Array;
}

function transform(ring: Float32Array): Spectrum {
  let size = 2;
  while (size < ring.length) size *= 2;
  const fft = new FFT(size);
  const padded = new Float64Array(size);
  for (let n = 0; n < ring.length; n++) {
    padded[n] = ring[n] * (0.5 + 0.5 * Math.cos((Math.PI * n) / ring.length));
  }
  const windowed = fft.createComplexArray();
  fft.realTransform(windowed, padded);
  const levelDb = Float64Array.from(
    { length: size / 2 },
    (_, k) => 10 * Math.log10(windowed[2 * k] ** 2 + windowed[2 * k + 1] ** 2 + 1e-30),
  );
  padded.fill(0);
  padded.set(ring);
  const plain = fft.createComplexArray();
  fft.realTransform(plain, padded);
  return { size, fft, plain, levelDb };
}

/** Local maxima, strongest first, none within APART_HZ of a stronger one; ascending frequencies in Hz. */
function findPeaks(levelDb: Float64Array, binHz: number): number[] {
  const sorted = Float64Array.from(levelDb).sort();
  const floor = Math.max(sorted[sorted.length - 1] - RANGE_DB, sorted[sorted.length >> 1] + OVER_MEDIAN_DB);
  const tops: number[] = [];
  for (let k = Math.ceil(20 / binHz); k < levelDb.length - 1; k++) {
    if (levelDb[k] > floor && levelDb[k] >= levelDb[k - 1] && levelDb[k] > levelDb[k + 1]) tops.push(k);
  }
  const kept: number[] = [];
  for (const k of tops.sort((a, b) => levelDb[b] - levelDb[a])) {
    const apart = kept.every((other) => Math.abs(other - k) * binHz >= APART_HZ);
    if (apart && prominence(levelDb, k) >= PROMINENCE_DB) kept.push(k);
  }
  return kept
    .map((k) => {
      const [a, b, c] = [levelDb[k - 1], levelDb[k], levelDb[k + 1]];
      return (k + (0.5 * (a - c)) / (a - 2 * b + c)) * binHz;
    })
    .sort((a, b) => a - b);
}

/** Height over the higher of the two valleys that part a peak from anything higher (or from the ends). */
function prominence(levelDb: Float64Array, k: number): number {
  const valley = (step: 1 | -1): number => {
    let lowest = levelDb[k];
    for (let i = k + step; i >= 0 && i < levelDb.length && levelDb[i] <= levelDb[k]; i += step) {
      lowest = Math.min(lowest, levelDb[i]);
    }
    return lowest;
  };
  return levelDb[k] - Math.max(valley(1), valley(-1));
}

/** Envelope of the analytic signal of a band. */
function bandEnvelope(spectrum: Spectrum, lowHz: number, highHz: number, rate: number): Float64Array {
  const { size, fft, plain } = spectrum;
  const masked = new Float64Array(2 * size);
  const first = Math.ceil((lowHz * size) / rate);
  const last = Math.floor((highHz * size) / rate);
  for (let i = 2 * first; i < 2 * last + 2; i++) masked[i] = 2 * plain[i];
  const analytic = fft.createComplexArray();
  fft.inverseTransform(analytic, masked);
  return Float64Array.from({ length: size }, (_, n) => Math.hypot(analytic[2 * n], analytic[2 * n + 1]));
}

/** Least-squares line through ln(envelope), from FIT_FROM_DB to FIT_TO_DB below the top after the top. */
function fitDecay(envelope: Float64Array, rate: number): { decayRatePerS: number; amplitude: number } {
  let top = 0;
  for (let n = 0; n < envelope.length; n++) if (envelope[n] > envelope[top]) top = n;
  const below = (levelDb: number, from: number): number => {
    const limit = envelope[top] * 10 ** (-levelDb / 20);
    let n = from;
    while (n < envelope.length && envelope[n] > limit) n++;
    return n;
  };
  const from = below(FIT_FROM_DB, top);
  const to = below(FIT_TO_DB, from);
  let [count, t, y, tt, ty] = [0, 0, 0, 0, 0];
  for (let n = from; n < to; n++) {
    const seconds = n / rate;
    const level = Math.log(envelope[n]);
    count++;
    t += seconds;
    y += level;
    tt += seconds * seconds;
    ty += seconds * level;
  }
  const slope = (count * ty - t * y) / (count * tt - t * t);
  return { decayRatePerS: -slope, amplitude: Math.exp((y - slope * t) / count) };
}

function withoutInterval(e: { frequencyHz: number; decayRatePerS: number; amplitude: number }): ModeEstimate {
  return {
    ...e,
    amplitude: [e.amplitude],
    frequencySdHz: 0,
    decayRateSdPerS: 0,
    rho: Number.POSITIVE_INFINITY,
  };
}
