import { RealFft } from "../spectrum/index.ts";
import type { RingDown } from "./ring-down.ts";

/** Short spectra of a ring, evenly spread over it. */
export interface ShortSpectra {
  /** Samples in each. */
  size: number;
  /** Distance of the bins, Hz. */
  binHz: number;
  /** Where each begins, in samples. */
  startSamples: number[];
  /** Power of each in bins 0 .. size/2, such that noise of variance v gives v. */
  power: Float64Array[];
}

/** Each is the shortest power of two that lasts so long, s: the main lobe then reaches 4 bins, 24 Hz at most, to either side. */
const SHORTEST_S = 0.17;
const MOST = 100;
/** The blow itself is neither noise nor another sound, and a recorder lets sound through some hundredths of a second after it: s after the last contact. */
const AFTER_BLOW_S = 0.1;
/** Terms of Blackman and Harris's window: side lobes at -92 dB (Harris, Proc. IEEE 66 (1978) 51-83; coefficients from memory). */
const WINDOW = [0.35875, -0.48829, 0.14128, -0.01168];

/** Short spectra of every channel from a tenth of a second after the last contact to the end of the ring. */
export function spectraAfterBlow(ring: RingDown): ShortSpectra[] {
  const start = ring.ringStartSample + Math.round(AFTER_BLOW_S * ring.sampleRateHz);
  return ring.channels.map((_, c) => shortSpectra(ring, c, start));
}

/**
 * Short spectra of one channel from a sample to the end of the ring. A partial fills the main lobe of the window alone: what lies beside it is noise.
 */
function shortSpectra(
  { channels, endSample, sampleRateHz }: RingDown,
  channel: number,
  startSample: number,
): ShortSpectra {
  const x = channels[channel];
  let size = 256;
  while (size < SHORTEST_S * sampleRateHz) size *= 2;
  const spectra: ShortSpectra = { size, binHz: sampleRateHz / size, startSamples: [], power: [] };
  const room = endSample - size - startSample;
  const hop = Math.max(size / 2, room / (MOST - 1));
  const turn = (2 * Math.PI) / size;
  const window = Float64Array.from({ length: size }, (_, n) =>
    WINDOW.reduce((sum, a, i) => sum + a * Math.cos(turn * i * n), 0),
  );
  const energy = window.reduce((sum, w) => sum + w * w, 0);
  const fft = new RealFft(size);
  const block = new Float64Array(size);
  const re = new Float64Array(size / 2 + 1);
  const im = new Float64Array(size / 2 + 1);
  for (let at = 0; at <= room; at += hop) {
    const from = startSample + Math.round(at);
    for (let n = 0; n < size; n++) block[n] = x[from + n] * window[n];
    fft.forward(block, 0, re, im);
    spectra.startSamples.push(from);
    spectra.power.push(Float64Array.from(re, (r, k) => (r * r + im[k] * im[k]) / energy));
  }
  return spectra;
}
