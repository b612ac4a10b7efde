/** The DFT bins of one neighbourhood of lines, whitened channel by channel. Arrays have `count` used entries, capacity may be larger. */
export interface Band {
  /** Which step of the FFT ladder the bins come from, and its transform size. */
  level: number;
  size: number;
  sampleRateHz: number;
  count: number;
  bins: Int32Array;
  /** Angular frequency of each bin, rad/s, ascending. */
  omega: Float64Array;
  /** exp(-j omega / fs) at each bin. */
  stepRe: Float64Array;
  stepIm: Float64Array;
  /** One entry a channel: the bins with every line outside the neighbourhood taken off, and 1/sqrt(noise variance of the bin). */
  channels: BandChannel[];
}

export interface BandChannel {
  re: Float64Array;
  im: Float64Array;
  weight: Float64Array;
}

/** Poles s = -alpha + j omega of the lines in one neighbourhood. */
export interface Poles {
  alpha: Float64Array;
  omega: Float64Array;
}

export function copyPoles(p: Poles): Poles {
  return { alpha: p.alpha.slice(), omega: p.omega.slice() };
}
