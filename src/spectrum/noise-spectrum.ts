import { RealFft } from "./real-fft.ts";

/** Centres of the noise estimate: 80 of them, evenly spaced in log frequency from 20 Hz to half the sample rate. */
const CENTRES = 80;

/** Noise variance per sample against frequency, one curve; linear between centres. A bin of size N has variance N S(f). */
export interface NoiseSpectrum {
  centresHz: Float64Array;
  variance: Float64Array;
}

export function noiseCentresHz(sampleRateHz: number): Float64Array {
  const low = Math.log(20);
  const high = Math.log(sampleRateHz / 2);
  return Float64Array.from({ length: CENTRES }, (_, i) => Math.exp(low + ((high - low) * i) / (CENTRES - 1)));
}

/** S at a frequency, by linear interpolation, flat outside the centres. */
export function noiseAt(noise: NoiseSpectrum, frequencyHz: number): number {
  const { centresHz: f, variance: v } = noise;
  const last = f.length - 1;
  if (frequencyHz <= f[0]) return v[0];
  if (frequencyHz >= f[last]) return v[last];
  // The centres are evenly spaced in the logarithm, so the interval is computed, not searched.
  const i = Math.min(last - 1, Math.floor((last * Math.log(frequencyHz / f[0])) / Math.log(f[last] / f[0])));
  const t = (frequencyHz - f[i]) / (f[i + 1] - f[i]);
  return v[i] + t * (v[i + 1] - v[i]);
}

/**
 * Averaged periodogram (Welch 1967; Hann, half overlap, 2048 points) of a quiet stretch, then medians over
 * +-max(60 Hz, 8 %): a steady tone in the quiet does not lift the floor around it.
 * `floor` (variance per sample) keeps digital silence from making the noise zero.
 */
export function noiseOfStretch(
  x: ArrayLike<number>,
  startSample: number,
  endSample: number,
  sampleRateHz: number,
  floor: number,
): NoiseSpectrum {
  const centresHz = noiseCentresHz(sampleRateHz);
  let size = 2048;
  while (size > 256 && endSample - startSample < 2 * size) size /= 2;
  const power = new Float64Array(size / 2 + 1);
  const window = Float64Array.from(
    { length: size },
    (_, i) => 0.5 - 0.5 * Math.cos((2 * Math.PI * i) / size),
  );
  const fft = new RealFft(size);
  const block = new Float64Array(size);
  const re = new Float64Array(size / 2 + 1);
  const im = new Float64Array(size / 2 + 1);
  let blocks = 0;
  for (let from = startSample; from + size <= endSample; from += size / 2) {
    for (let i = 0; i < size; i++) block[i] = x[from + i] * window[i];
    fft.forward(block, 0, re, im);
    for (let k = 0; k < power.length; k++) power[k] += re[k] * re[k] + im[k] * im[k];
    blocks++;
  }
  const scale = 1 / (0.375 * size * Math.max(1, blocks));
  const bin = sampleRateHz / size;
  const variance = centresHz.map((f) => {
    const half = Math.max(60, 0.08 * f);
    const from = Math.max(1, Math.ceil((f - half) / bin));
    const to = Math.min(power.length, Math.floor((f + half) / bin) + 1);
    return Math.max(median(power.slice(Math.min(from, to - 1), to)) * scale, floor);
  });
  return { centresHz, variance };
}

/**
 * Noise from the residual of a fit: running medians over +-max(20 Hz, 6 %, 32 bins) of |R|^2 / N, divided by ln 2,
 * which is the median of a unit exponential. Wide windows are thinned to about a thousand bins.
 */
export function noiseOfResidual(
  re: Float64Array,
  im: Float64Array,
  size: number,
  sampleRateHz: number,
  floor: number,
): NoiseSpectrum {
  const centresHz = noiseCentresHz(sampleRateHz);
  const bin = sampleRateHz / size;
  const scratch = new Float64Array(1025);
  const variance = centresHz.map((f) => {
    const half = Math.max(20, 0.06 * f, 32 * bin);
    const from = Math.max(1, Math.floor((f - half) / bin));
    const to = Math.min(re.length, Math.floor((f + half) / bin) + 1);
    const stride = Math.max(1, Math.ceil((to - from) / 1024));
    let n = 0;
    for (let k = from; k < to; k += stride) scratch[n++] = re[k] * re[k] + im[k] * im[k];
    return Math.max(median(scratch.slice(0, n)) / (size * Math.LN2), floor);
  });
  return { centresHz, variance };
}

/** The middle value, or the mean of the two middle ones; orders `values` only as far as that takes (Hoare 1961). */
function median(values: Float64Array): number {
  const { length } = values;
  if (length === 0) return 0;
  const middle = length >> 1;
  const upper = select(values, middle);
  if (length % 2) return upper;
  let lower = values[0];
  for (let i = 1; i < middle; i++) if (values[i] > lower) lower = values[i];
  return (lower + upper) / 2;
}

/** Moves the k-th smallest value to its place, nothing larger before it and nothing smaller after it. */
function select(values: Float64Array, k: number): number {
  let low = 0;
  let high = values.length - 1;
  while (low < high) {
    const pivot = values[(low + high) >> 1];
    let i = low;
    let j = high;
    while (i <= j) {
      while (values[i] < pivot) i++;
      while (values[j] > pivot) j--;
      if (i <= j) {
        const swapped = values[i];
        values[i++] = values[j];
        values[j--] = swapped;
      }
    }
    if (k <= j) high = j;
    else if (k >= i) low = i;
    else break;
  }
  return values[k];
}
