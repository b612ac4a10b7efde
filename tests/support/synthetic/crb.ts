import type { BellTruth } from "./bell.ts";
import { type Complex, fisherMatrix } from "./fisher.ts";
import { linewidthHz, type TrueMode } from "./modes.ts";
import { invertScaled } from "./symmetric.ts";

/** Smallest standard deviations that an unbiased estimate of one mode can have. */
export interface ModeBound {
  frequencySdHz: number;
  decayRateSdPerS: number;
  /** Relative, of the amplitude at the first contact in the mode's strongest channel. */
  amplitudeRelSd: number;
  /** A^2 fs / (8 alpha S) (1 - exp(-2 alpha T)) summed over the channels: A at the start of the record, T its length. */
  rho: number;
  /** Standard deviation of the distance in frequency to the nearest other mode; 0 where there is none. */
  gapSdHz: number;
  /** That distance; Infinity where there is none. */
  gapHz: number;
}

export interface Bound {
  startSample: number;
  /** In the order of truth.modes. */
  modes: ModeBound[];
}

/**
 * The Cramér-Rao bound for frequency, decay rate, amplitude and phase of all modes together (common poles, own
 * amplitude and phase a channel), from the record that starts at startSample and ends with the recording.
 *
 * The Fisher matrix of a sum of damped cosines in Gaussian noise is made of sums of n^k (z_i z_j)^n, k = 0, 1, 2.
 * It is exact for white noise. Where the noise is coloured, modes i and j are weighed by 1/sqrt(S(f_i) S(f_j)), which
 * is exact in the limit of a density that does not change over the distance at which two modes still see each other.
 * Steady tones count as known. Kay, Fundamentals of Statistical Signal Processing I (1993), ch. 3.
 */
export function boundOf(truth: BellTruth, startSample: number): Bound {
  const { sampleRateHz, modes } = truth;
  const channels = modes.length > 0 ? modes[0].amplitude.length : 0;
  const startS = (startSample - truth.onsetSample) / sampleRateHz;
  const count = truth.sampleCount - startSample;
  const weighed = modes.map((mode) => weigh(mode, truth, startS));
  const covariance = invertScaled(fisherMatrix(modes, weighed, sampleRateHz, count, channels));
  const width = 2 + 2 * channels;
  const at = (row: number, column: number) => covariance.values[row * covariance.size + column];

  return {
    startSample,
    modes: modes.map((mode, i) => {
      const alpha = mode.decayRatePerS;
      const decayVariance = at(i * width, i * width);
      const strongest = mode.amplitude.indexOf(Math.max(...mode.amplitude));
      const level = i * width + 2 + 2 * strongest;
      // ln A at the first contact = ln A at the start + alpha startS; decay parameters are in units of alpha.
      const shift = alpha * startS;
      const levelVariance = at(level, level) + 2 * shift * at(level, i * width) + shift ** 2 * decayVariance;
      const gap = nearestGap(modes, i);
      const omega = i * width + 1;
      let gapVariance = 0;
      if (gap.index >= 0) {
        const other = gap.index * width + 1;
        const beta = modes[gap.index].decayRatePerS;
        gapVariance =
          alpha ** 2 * at(omega, omega) - 2 * alpha * beta * at(omega, other) + beta ** 2 * at(other, other);
      }
      const power = weighed[i].reduce((sum, a) => sum + a.re ** 2 + a.im ** 2, 0);
      return {
        frequencySdHz: (alpha * Math.sqrt(at(omega, omega))) / (2 * Math.PI),
        decayRateSdPerS: alpha * Math.sqrt(decayVariance),
        amplitudeRelSd: Math.sqrt(Math.max(0, levelVariance)),
        rho: (power * sampleRateHz * -Math.expm1((-2 * alpha * count) / sampleRateHz)) / (8 * alpha),
        gapSdHz: Math.sqrt(Math.max(0, gapVariance)) / (2 * Math.PI),
        gapHz: gap.distanceHz,
      };
    }),
  };
}

/** Can be expected to be found: rho over 50, and more than five standard errors of the gap from the nearest mode. */
export function seeable(bound: ModeBound): boolean {
  return bound.rho > 50 && bound.gapHz > 5 * bound.gapSdHz;
}

/** Distance to the nearest other mode in frequency; index -1 where there is none. */
export function nearestGap(modes: TrueMode[], i: number): { index: number; distanceHz: number } {
  let index = -1;
  let distanceHz = Number.POSITIVE_INFINITY;
  for (let j = 0; j < modes.length; j++) {
    const d = Math.abs(modes[j].frequencyHz - modes[i].frequencyHz);
    if (j !== i && d < distanceHz) {
      distanceHz = d;
      index = j;
    }
  }
  return { index, distanceHz };
}

/** Gap to the nearest mode in linewidths, the wider of the two. */
export function gapInLinewidths(modes: TrueMode[], i: number): number {
  const { index, distanceHz } = nearestGap(modes, i);
  if (index < 0) return distanceHz;
  return distanceHz / Math.max(linewidthHz(modes[i]), linewidthHz(modes[index]));
}

/** Complex amplitude a channel at the start of the record, over the standard deviation of the noise there. */
function weigh(mode: TrueMode, truth: BellTruth, startS: number): Complex[] {
  return Array.from(mode.amplitude, (amplitude, channel) => {
    const scale = Math.exp(-mode.decayRatePerS * startS);
    const a = (amplitude * scale) / Math.sqrt(truth.noiseVariance(mode.frequencyHz, channel));
    const phase = mode.phaseRad[channel] + 2 * Math.PI * mode.frequencyHz * startS;
    return { re: a * Math.cos(phase), im: a * Math.sin(phase) };
  });
}
