import type { RingDownCurve } from "../measurement/index.ts";
import type { Mode } from "../partials/index.ts";
import { type NoiseSpectrum, noiseAt } from "../spectrum/index.ts";

const POINTS = 240;

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
 * stops the neighbours `guardHz` away, at about 240 points.
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
  const width = Math.max(8, Math.min(Math.round(fs / bandwidthHz), samples >> 3));
  const hop = Math.max(Math.ceil(samples / POINTS), 1);
  const sumRe = new Float64Array(samples + 1);
  const sumIm = new Float64Array(samples + 1);
  const turn = (2 * Math.PI * centreHz) / fs;
  const stepRe = Math.cos(turn);
  const stepIm = -Math.sin(turn);
  let wRe = 1;
  let wIm = 0;
  for (let n = 0; n < samples; n++) {
    if ((n & 1023) === 0) {
      wRe = Math.cos(turn * n);
      wIm = -Math.sin(turn * n);
    }
    sumRe[n + 1] = sumRe[n] + x[onsetSample + n] * wRe;
    sumIm[n + 1] = sumIm[n] + x[onsetSample + n] * wIm;
    const next = wRe * stepRe - wIm * stepIm;
    wIm = wRe * stepIm + wIm * stepRe;
    wRe = next;
  }
  const smooth = (sum: Float64Array, at: number) => {
    // Two moving averages in a row are a triangle: the mean of the running mean, by four offsets.
    let total = 0;
    for (let k = 0; k < 4; k++) {
      const from = at + Math.round((k * width) / 4) - width;
      total += sum[from + width] - sum[from];
    }
    return (2 * total) / (4 * width);
  };
  const curve: RingDownCurve = { partial: index, timeS: [], levelDb: [], modelDb: [], noiseDb: 0 };
  for (let at = width; at + width <= samples; at += hop) {
    const re = smooth(sumRe, at);
    const im = smooth(sumIm, at);
    const t = (at - width / 8) / fs;
    curve.timeS.push(t);
    curve.levelDb.push(decibels(re * re + im * im, reference));
    curve.modelDb.push(decibels(envelope(members, source.channel, centreHz, t) ** 2, reference));
  }
  curve.noiseDb = decibels((2.75 * noiseAt(source.noise, centreHz)) / width, reference);
  return curve;
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
