import type { SpectrumCurve } from "../measurement/index.ts";
import { type NoiseSpectrum, noiseAt, RealFft } from "../spectrum/index.ts";

const POINTS = 900;
const LOWEST_HZ = 40;
const LONGEST = 2 ** 17;

/**
 * The spectrum of a ring-down to draw: Hann window, the largest power of two that fits (2^17 at most), thinned to the
 * strongest bin of each of about 900 steps, even in log frequency. 0 dB is a steady sinusoid of amplitude `reference`.
 */
export function spectrumCurve(
  x: ArrayLike<number>,
  startSample: number,
  endSample: number,
  sampleRateHz: number,
  noise: NoiseSpectrum,
  reference: number,
): SpectrumCurve {
  let size = LONGEST;
  while (size > 256 && size > endSample - startSample) size /= 2;
  const block = new Float64Array(size);
  const count = Math.min(size, endSample - startSample);
  for (let i = 0; i < count; i++)
    block[i] = x[startSample + i] * (0.5 - 0.5 * Math.cos((2 * Math.PI * i) / size));
  const re = new Float64Array(size / 2 + 1);
  const im = new Float64Array(size / 2 + 1);
  new RealFft(size).forward(block, 0, re, im);
  const bin = sampleRateHz / size;
  const full = (reference * size) / 4;
  const curve: SpectrumCurve = { frequencyHz: [], levelDb: [], noiseDb: [] };
  const growth = (0.48 * sampleRateHz) / LOWEST_HZ;
  let from = Math.max(1, Math.ceil(LOWEST_HZ / bin));
  for (let p = 1; p <= POINTS; p++) {
    const to = Math.floor((LOWEST_HZ * growth ** (p / POINTS)) / bin);
    if (to < from) continue;
    let best = from;
    for (let k = from; k <= to && k < re.length; k++) if (power(re, im, k) > power(re, im, best)) best = k;
    const f = best * bin;
    curve.frequencyHz.push(f);
    curve.levelDb.push(10 * Math.log10(Math.max(power(re, im, best), 1e-30) / full ** 2));
    curve.noiseDb.push(10 * Math.log10(Math.max(0.375 * size * noiseAt(noise, f), 1e-30) / full ** 2));
    from = to + 1;
  }
  return curve;
}

function power(re: Float64Array, im: Float64Array, k: number): number {
  return re[k] * re[k] + im[k] * im[k];
}
