import type { RingDownCurve } from "../measurement/index.ts";
import type { Mode } from "../partials/index.ts";
import { type NoiseSpectrum, noiseAt } from "../spectrum/index.ts";

const POINTS = 240;
/** Blocks in a window, and the weights of two running means over so many in a row: they add up to PARTS squared. */
const PARTS = 16;
const TRIANGLE = Float64Array.from({ length: 2 * PARTS - 1 }, (_, k) => Math.min(k + 1, 2 * PARTS - 1 - k));
const TRIANGLE_SQUARES = TRIANGLE.reduce((sum, w) => sum + w * w, 0);

export interface RingDownSource {
  x: ArrayLike<number>;
  /** Channel of the modes' amplitudes that x is. */
  channel: number;
  sampleRateHz: number;
  onsetSample: number;
  endSample: number;
  noise: NoiseSpectrum;
  /** Amplitude that is 0 dB. */
  reference: number;
}

/** Level of the whole sound against time, with the model: the partials' powers added, beats within a partial kept. */
export function wholeRingDown(source: RingDownSource, partials: Mode[][]): RingDownCurve {
  const { x, onsetSample, endSample, sampleRateHz: fs, reference } = source;
  const hop = Math.max(Math.round(0.01 * fs), Math.ceil((endSample - onsetSample) / POINTS));
  const curve: RingDownCurve = { partial: null, timeS: [], levelDb: [], modelDb: [], noiseDb: 0 };
  const centre = (hop - 1) / 2;
  for (let from = onsetSample; from + hop <= endSample; from += hop) {
    let sum = 0;
    for (let i = 0; i < hop; i++) sum += x[from + i] * x[from + i];
    const t = (from + centre - onsetSample) / fs;
    let model = 0;
    for (const members of partials)
      model += envelope(members, source.channel, members[0].frequencyHz, t) ** 2;
    curve.timeS.push(t);
    curve.levelDb.push(decibels((2 * sum) / hop, reference));
    curve.modelDb.push(decibels(model, reference));
  }
  curve.noiseDb = decibels(2 * meanNoise(source.noise, fs), reference);
  return curve;
}

/**
 * Level of one partial against time: shifted to zero frequency, smoothed twice over a window that passes the members and
 * stops the neighbours `guardHz` away, at about 240 points. Sums over sixteenths of the window are made first: a
 * point then costs a few products.
 */
export function partialRingDown(
  source: RingDownSource,
  index: number,
  members: Mode[],
  guardHz: number,
): RingDownCurve {
  const { x, onsetSample, endSample, sampleRateHz: fs, reference } = source;
  const first = members[0].frequencyHz;
  const last = members.at(-1)!.frequencyHz;
  const centreHz = (first + last) / 2;
  const alpha = Math.max(...members.map((m) => m.decayRatePerS));
  const wanted = Math.max(6 * (last - first), (4 * alpha) / Math.PI, 4);
  const bandwidthHz = Math.min(Math.max(wanted, 1), Math.max(guardHz, 1));
  const samples = endSample - onsetSample;
  const part = Math.max(1, Math.round(Math.min(fs / bandwidthHz, samples / 8) / PARTS));
  const blocks = Math.floor(samples / part);
  const blockRe = new Float64Array(blocks);
  const blockIm = new Float64Array(blocks);
  sumBlocks(x, onsetSample, part, (2 * Math.PI * centreHz) / fs, blockRe, blockIm);
  const curve: RingDownCurve = { partial: index, timeS: [], levelDb: [], modelDb: [], noiseDb: 0 };
  const hop = Math.max(1, Math.round(blocks / POINTS));
  const half = TRIANGLE.length >> 1;
  for (let b = half; b + half < blocks; b += hop) {
    let re = 0;
    let im = 0;
    for (let k = 0; k < TRIANGLE.length; k++) {
      re += TRIANGLE[k] * blockRe[b + k - half];
      im += TRIANGLE[k] * blockIm[b + k - half];
    }
    const scale = 2 / (PARTS ** 2 * part);
    re *= scale;
    im *= scale;
    const t = ((b + 0.5) * part) / fs;
    curve.timeS.push(t);
    curve.levelDb.push(decibels(re * re + im * im, reference));
    curve.modelDb.push(decibels(envelope(members, source.channel, centreHz, t) ** 2, reference));
  }
  // A block of white noise has variance part * S.
  const passed = (4 * TRIANGLE_SQUARES) / (PARTS ** 4 * part);
  curve.noiseDb = decibels(passed * noiseAt(source.noise, centreHz), reference);
  return curve;
}

/** Samples that are turned together. */
const TOGETHER = 4;

/**
 * Sums of x(n) exp(-j turn n), n from `first` on, over blocks of `part` samples, one a place of `re` and `im`. Four samples are joined
 * with fixed turns and their sum turned once: one step of the recurrence in four, and four independent products.
 */
function sumBlocks(
  x: ArrayLike<number>,
  first: number,
  part: number,
  turn: number,
  re: Float64Array,
  im: Float64Array,
): void {
  const c1 = Math.cos(turn);
  const s1 = -Math.sin(turn);
  const c2 = Math.cos(2 * turn);
  const s2 = -Math.sin(2 * turn);
  const c3 = Math.cos(3 * turn);
  const s3 = -Math.sin(3 * turn);
  const stepRe = Math.cos(TOGETHER * turn);
  const stepIm = -Math.sin(TOGETHER * turn);
  const whole = part - (part % TOGETHER);
  for (let b = 0; b < re.length; b++) {
    const from = b * part;
    // The rotation runs by recurrence within a block and is set afresh at its beginning.
    let wRe = Math.cos(turn * from);
    let wIm = -Math.sin(turn * from);
    let sumRe = 0;
    let sumIm = 0;
    let n = first + from;
    for (const end = n + whole; n < end; n += TOGETHER) {
      const fourRe = x[n] + x[n + 1] * c1 + x[n + 2] * c2 + x[n + 3] * c3;
      const fourIm = x[n + 1] * s1 + x[n + 2] * s2 + x[n + 3] * s3;
      sumRe += fourRe * wRe - fourIm * wIm;
      sumIm += fourRe * wIm + fourIm * wRe;
      const next = wRe * stepRe - wIm * stepIm;
      wIm = wRe * stepIm + wIm * stepRe;
      wRe = next;
    }
    for (const end = first + from + part; n < end; n++) {
      sumRe += x[n] * wRe;
      sumIm += x[n] * wIm;
      const next = wRe * c1 - wIm * s1;
      wIm = wRe * s1 + wIm * c1;
      wRe = next;
    }
    re[b] = sumRe;
    im[b] = sumIm;
  }
}

/** Amplitude of the sum of the members at time t, with their beats. */
function envelope(members: Mode[], channel: number, centreHz: number, t: number): number {
  let re = 0;
  let im = 0;
  for (const m of members) {
    const a = m.amplitude[channel] * Math.exp(-m.decayRatePerS * t);
    const p = 2 * Math.PI * (m.frequencyHz - centreHz) * t + m.phaseRad[channel];
    re += a * Math.cos(p);
    im += a * Math.sin(p);
  }
  return Math.hypot(re, im);
}

function decibels(power: number, reference: number): number {
  return Math.max(-200, 10 * Math.log10(Math.max(power, 1e-30) / reference ** 2));
}

function meanNoise(noise: NoiseSpectrum, fs: number): number {
  let sum = 0;
  const n = 200;
  for (let i = 0; i < n; i++) sum += noiseAt(noise, ((i + 0.5) / n) * (fs / 2));
  return sum / n;
}
