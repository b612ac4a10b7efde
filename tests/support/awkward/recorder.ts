import FFT from "fft.js";

/** What recorders do to a sound, in place. */

/** A gate: where the level, followed by its peaks, falls under the threshold, the gain goes down to the floor. */
export interface Gate {
  threshold: number;
  floor: number;
  /** Time constants of the follower and of the gain, s. */
  holdS: number;
  closeS: number;
}

/** Shut before the strike too, as a gate is. Returns the sample at which it last closes. */
export function gate(
  signal: Float64Array,
  rateHz: number,
  { threshold, floor, holdS, closeS }: Gate,
): number {
  const release = Math.exp(-1 / (holdS * rateHz));
  const closing = -Math.expm1(-1 / (closeS * rateHz));
  const opening = -Math.expm1(-1 / (0.001 * rateHz));
  let level = 0;
  let gain = floor;
  let closed = 0;
  for (let i = 0; i < signal.length; i++) {
    level = Math.max(Math.abs(signal[i]), level * release);
    const wanted = level > threshold ? 1 : floor;
    if (level > threshold) closed = i + 1;
    gain += (wanted > gain ? opening : closing) * (wanted - gain);
    signal[i] *= gain;
  }
  return closed;
}

/** 512 points with half of them in common: 11 ms at 48 kHz, as telephones use (common practice, no source). */
const FRAME = 512;

/**
 * Noise suppression by bands: short spectra, in each bin the gain 1 - noise/power, at least `floor`; `noise` is taken to be
 * `overDb` stronger than the white noise of standard deviation `sd` is. Spectral subtraction: Boll, IEEE Trans. ASSP 27
 * (1979) 113-120 (from memory).
 */
export function suppressNoise(signal: Float64Array, sd: number, overDb: number, floor: number): void {
  const fft = new FFT(FRAME);
  const window = Float64Array.from({ length: FRAME }, (_, i) => Math.sin((Math.PI * (i + 0.5)) / FRAME));
  // Of white noise a bin holds sd^2 times the sum of the squared window, which is half of its length.
  const noise = ((sd ** 2 * FRAME) / 2) * 10 ** (overDb / 10);
  const frame = new Float64Array(2 * FRAME);
  const spectrum = new Float64Array(2 * FRAME);
  const gains = new Float64Array(FRAME).fill(1);
  const out = new Float64Array(signal.length);
  for (let start = -FRAME / 2; start < signal.length; start += FRAME / 2) {
    for (let i = 0; i < FRAME; i++) {
      frame[2 * i] = (signal[start + i] ?? 0) * window[i];
      frame[2 * i + 1] = 0;
    }
    fft.transform(spectrum, frame);
    for (let k = 0; k < FRAME; k++) {
      const power = spectrum[2 * k] ** 2 + spectrum[2 * k + 1] ** 2;
      const wanted = Math.max(floor, 1 - noise / Math.max(power, Number.MIN_VALUE));
      // Smoothed over some frames, as against musical tones.
      gains[k] += 0.4 * (wanted - gains[k]);
      spectrum[2 * k] *= gains[k];
      spectrum[2 * k + 1] *= gains[k];
    }
    fft.inverseTransform(frame, spectrum);
    for (let i = 0; i < FRAME; i++) {
      const at = start + i;
      if (at >= 0 && at < out.length) out[at] += frame[2 * i] * window[i];
    }
  }
  signal.set(out);
}

/** Half-length of the filter in periods of its corner; Blackman's window, 74 dB down (Harris 1978, from memory). */
const LOBES = 40;

/** Every `factor`th sample of a signal that was low-passed at 0.45 of the new rate. */
export function decimate(signal: Float64Array, factor: number): Float64Array {
  const corner = 0.45 / factor;
  const half = Math.round(LOBES / (2 * corner));
  const taps = Float64Array.from({ length: 2 * half + 1 }, (_, i) => {
    const t = i - half;
    const sinc = t === 0 ? 2 * corner : Math.sin(2 * Math.PI * corner * t) / (Math.PI * t);
    const x = (Math.PI * (i + 1)) / (half + 1);
    return sinc * (0.42 - 0.5 * Math.cos(x) + 0.08 * Math.cos(2 * x));
  });
  return Float64Array.from({ length: Math.floor(signal.length / factor) }, (_, n) => {
    let sum = 0;
    for (let i = 0; i < taps.length; i++) sum += taps[i] * (signal[n * factor + i - half] ?? 0);
    return sum;
  });
}
