import type { Band, Poles } from "../../src/partials/band.ts";
import type { Random } from "../support/synthetic/index.ts";

/** A damped line as it is put into a band: c exp((-alpha + j 2 pi f) t), one complex amplitude a channel. */
export interface BandLine {
  frequencyHz: number;
  alpha: number;
  c: [number, number][];
}

export interface BandPlan {
  size: number;
  sampleRateHz: number;
  /** First and last bin. */
  from: number;
  to: number;
  lines: BandLine[];
  channels: number;
  /** Noise variance per sample, white, one a channel; the bins are weighted with it. */
  noise: number[];
  /** Null: the weights are those of the noise, and no noise is added. */
  random: Random | null;
}

/** A transform of 2 s at 8 kHz about 1 kHz: bins of half a hertz. */
export const PLAN: BandPlan = {
  size: 16_000,
  sampleRateHz: 8000,
  from: 1960,
  to: 2040,
  lines: [],
  channels: 1,
  noise: [1e-6],
  random: null,
};

/** The DFT bins of damped lines in closed form, c (1 - z^N) / (1 - z exp(-j w)): no image, no rounding of samples. */
export function bandOfPlan(plan: BandPlan): Band {
  const { size, sampleRateHz, from, to } = plan;
  const count = to - from + 1;
  const bins = Int32Array.from({ length: count }, (_, i) => from + i);
  const omega = Float64Array.from(bins, (k) => (2 * Math.PI * k * sampleRateHz) / size);
  const stepRe = Float64Array.from(bins, (k) => Math.cos((2 * Math.PI * k) / size));
  const stepIm = Float64Array.from(bins, (k) => -Math.sin((2 * Math.PI * k) / size));
  const channels = Array.from({ length: plan.channels }, (_, c) => {
    const re = new Float64Array(count);
    const im = new Float64Array(count);
    for (const line of plan.lines) addLine(plan, line, line.c[c], bins, re, im);
    if (plan.random !== null) {
      // Half of the variance N S of a bin falls to either part.
      const sd = Math.sqrt((size * plan.noise[c]) / 2);
      plan.random.addNormal(re, sd);
      plan.random.addNormal(im, sd);
    }
    return { re, im, weight: new Float64Array(count).fill(1 / Math.sqrt(size * plan.noise[c])) };
  });
  return { level: 0, size, sampleRateHz, count, bins, omega, stepRe, stepIm, channels };
}

function addLine(
  { size, sampleRateHz }: BandPlan,
  { frequencyHz, alpha }: BandLine,
  [cRe, cIm]: [number, number],
  bins: Int32Array,
  re: Float64Array,
  im: Float64Array,
): void {
  const turn = (2 * Math.PI * frequencyHz) / sampleRateHz;
  const decay = alpha / sampleRateHz;
  const tail = Math.exp(-decay * size);
  const uRe = 1 - tail * Math.cos(turn * size);
  const uIm = -tail * Math.sin(turn * size);
  const aRe = cRe * uRe - cIm * uIm;
  const aIm = cRe * uIm + cIm * uRe;
  bins.forEach((k, i) => {
    const angle = turn - (2 * Math.PI * k) / size;
    const dRe = 1 - Math.exp(-decay) * Math.cos(angle);
    const dIm = -Math.exp(-decay) * Math.sin(angle);
    const power = dRe * dRe + dIm * dIm;
    re[i] += (aRe * dRe + aIm * dIm) / power;
    im[i] += (aIm * dRe - aRe * dIm) / power;
  });
}

export const polesOfLines = (lines: { frequencyHz: number; alpha: number }[]): Poles => ({
  alpha: Float64Array.from(lines, (line) => line.alpha),
  omega: Float64Array.from(lines, (line) => 2 * Math.PI * line.frequencyHz),
});

/** |c| of a line whose matched-filter SNR is rho: A = 2 |c|, rho = A^2 fs / (8 alpha S). */
export const amplitudeOfRho = (rho: number, alpha: number, { sampleRateHz, noise }: BandPlan): number =>
  Math.sqrt((2 * rho * alpha * noise[0]) / sampleRateHz);

/** A line of that SNR alone in its band, of 5 /s (1.6 Hz wide) where no rate is given. */
export function lineOfRho(frequencyHz: number, rho: number, phase = 0, alpha = 5): BandLine {
  const c = amplitudeOfRho(rho, alpha, PLAN);
  return { frequencyHz, alpha, c: [[c * Math.cos(phase), c * Math.sin(phase)]] };
}
