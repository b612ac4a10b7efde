import FFT from "fft.js";
import { type NoiseSpectrum, noiseAt } from "../spectrum/index.ts";
import type { Band } from "./band.ts";
import type { RingDown } from "./ring-down.ts";

/** The ring around one strong line, shifted to zero frequency and thinned out. */
export interface Baseband {
  omega: number;
  /** Time of each value, s from the first contact. */
  timeS: Float64Array;
  /** A band for fits on the bins of the values' transform; its bins are filled by `transformed`. */
  band: Band;
  /** Per channel. */
  re: Float64Array[];
  im: Float64Array[];
  fft: FFT;
  /** Noise variance of each bin, per channel. */
  variance: Float64Array[];
}

/** The window passes 0.6 % of the frequency, a moving bell's glide, and a doublet's split. */
const REACH = 0.006;
const REACH_HZ = 10;
/** Values a window; at four its main lobe just fits between the folding frequencies. */
const A_WINDOW = 4;
const MOST_VALUES = 512;
/** So much of a ring a baseband uses at the most, s. */
export const LONGEST_BASEBAND_S = (MOST_VALUES + A_WINDOW) / (A_WINDOW * REACH_HZ);
const FEWEST_VALUES = 32;
/** Bins within this part of the folding frequency, where the window passes more than half the power. */
const PASSED = 0.36;

/** Null where the ring is too short. The windows are Hann's, so a damped line stays one, its coefficient alone changed. */
export function basebandOf(ring: RingDown, frequencyHz: number, noise: NoiseSpectrum[]): Baseband | null {
  const { sampleRateHz: fs, ringStartSample, endSample, onsetSample } = ring;
  const hop = Math.round(fs / (REACH * frequencyHz + REACH_HZ) / A_WINDOW);
  const length = A_WINDOW * hop;
  const available = Math.floor((endSample - ringStartSample - length) / hop) + 1;
  if (available < FEWEST_VALUES) return null;
  let count = MOST_VALUES;
  while (count > available) count /= 2;
  const omega = 2 * Math.PI * frequencyHz;
  const window = Float64Array.from(
    { length },
    (_, i) => (0.5 - 0.5 * Math.cos((2 * Math.PI * (i + 0.5)) / length)) / (0.5 * length),
  );
  const timeS = Float64Array.from(
    { length: count },
    (_, i) => (ringStartSample - onsetSample + i * hop + (length - 1) / 2) / fs,
  );
  const band = emptyBand(count, fs / hop, ring.channels.length);
  const values = ring.channels.map((x) => mixedDown(x, ringStartSample, count, hop, window, omega / fs));
  return {
    omega,
    timeS,
    band,
    // White noise behind the window, thinned to one value in a hop.
    variance: noise.map((s) => {
      const each = (count * noiseAt(s, frequencyHz)) / hop;
      return band.omega.map((w) => each * hannResponse((w * length) / (2 * Math.PI * fs)) ** 2);
    }),
    re: values.map((v) => v.re),
    im: values.map((v) => v.im),
    fft: new FFT(count),
  };
}

/** sum over the window of w x exp(-j omega n), phases from `start` on. */
function mixedDown(
  x: Float32Array,
  start: number,
  count: number,
  hop: number,
  window: Float64Array,
  step: number,
) {
  const re = new Float64Array(count);
  const im = new Float64Array(count);
  const hops = A_WINDOW;
  const turnRe = Math.cos(step);
  const turnIm = -Math.sin(step);
  for (let block = 0; block < count + hops - 1; block++) {
    const from = block * hop;
    let cRe = Math.cos(step * from);
    let cIm = -Math.sin(step * from);
    for (let i = 0; i < hop; i++) {
      const v = x[start + from + i];
      const a = v * cRe;
      const b = v * cIm;
      for (let h = 0; h < hops; h++) {
        const at = block - h;
        if (at < 0 || at >= count) continue;
        const w = window[h * hop + i];
        re[at] += w * a;
        im[at] += w * b;
      }
      const next = cRe * turnRe - cIm * turnIm;
      cIm = cRe * turnIm + cIm * turnRe;
      cRe = next;
    }
  }
  return { re, im };
}

/** Bins of the passband in ascending frequency, empty. */
function emptyBand(size: number, rate: number, channels: number): Band {
  const half = Math.floor((PASSED * size) / 2);
  const count = 2 * half + 1;
  const bins = Int32Array.from({ length: count }, (_, i) => (i - half + size) % size);
  const turns = Float64Array.from({ length: count }, (_, i) => (i - half) / size);
  return {
    level: 0,
    size,
    sampleRateHz: rate,
    count,
    bins,
    omega: turns.map((turn) => 2 * Math.PI * turn * rate),
    stepRe: turns.map((turn) => Math.cos(2 * Math.PI * turn)),
    stepIm: turns.map((turn) => -Math.sin(2 * Math.PI * turn)),
    channels: Array.from({ length: channels }, () => ({
      re: new Float64Array(count),
      im: new Float64Array(count),
      weight: new Float64Array(count),
    })),
  };
}

/** Response of Hann's window at x turns over its length, 1 at 0; within the passband |x| stays under 1. */
function hannResponse(x: number): number {
  if (Math.abs(x) < 1e-9) return 1;
  return Math.sin(Math.PI * x) / (Math.PI * x) / (1 - x * x);
}

/** Bins of channel c times a factor (gRe + j gIm) a value; `out` has interleaved room for the whole transform. */
export function transformed(
  { band, re, im, fft }: Baseband,
  c: number,
  gRe: Float64Array,
  gIm: Float64Array,
  outRe: Float64Array,
  outIm: Float64Array,
): void {
  const n = band.size;
  const values = new Float64Array(2 * n);
  for (let i = 0; i < n; i++) {
    values[2 * i] = re[c][i] * gRe[i] - im[c][i] * gIm[i];
    values[2 * i + 1] = re[c][i] * gIm[i] + im[c][i] * gRe[i];
  }
  const spectrum = new Float64Array(2 * n);
  fft.transform(spectrum as unknown as number[], values as unknown as number[]);
  for (let i = 0; i < band.count; i++) {
    outRe[i] = spectrum[2 * band.bins[i]];
    outIm[i] = spectrum[2 * band.bins[i] + 1];
  }
}
