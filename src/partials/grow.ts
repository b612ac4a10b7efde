import { type Band, copyPoles, type Poles } from "./band.ts";
import {
  type BandFit,
  boundsAround,
  DECAY_RATE_MAX,
  DECAY_RATE_MIN,
  type FitScratch,
  fitBand,
} from "./fit-band.ts";
import { type ScoreCandidate, scoreFurtherLine } from "./score.ts";

export interface GrowthRules {
  /** Whitened gain (nats) that one further line must bring. */
  threshold: number;
  /** Poles in the band at the most. */
  maxPoles: number;
  /** Square of the relative amplitude by which a real decay departs from an exponential; 0 trusts the model. */
  misfit: number;
  /** Nothing more is tried when the fits have cost this much (FitScratch.work). */
  workLimit: number;
}

/** A band is twenty linewidths wide: ten places in each are enough to see where something is left. */
const PLACES = 200;

export interface Growth {
  fit: BandFit;
  /** True when the bins ask for more lines than the rules allow: the decay is not a sum of few exponentials. */
  misfitting: boolean;
}

/** Degrees of freedom of a band: complex bins less the complex poles and linear coefficients of each channel. */
export function degreesOfFreedom(band: Band, poles: number): number {
  const channels = band.channels.length;
  return Math.max(1, channels * (band.count - poles - 1) - poles);
}

/** How far the residual stands over the noise, in standard deviations of its chi-squared law. */
export function excess(band: Band, fit: BandFit): number {
  const dof = degreesOfFreedom(band, fit.poles.alpha.length);
  return (fit.rss - dof) / Math.sqrt(dof);
}

/**
 * Forward selection by likelihood ratio (gain in nats of the whitened residual; thresholds measured under the hypothesis
 * of no further line), first with an allowance for model misfit, then without it up to three more lines: the larger
 * order is kept only when it explains the bins down to the noise.
 */
export function growFit(band: Band, first: BandFit, rules: GrowthRules, scratch: FitScratch): Growth {
  const cautious = growTo(band, first, rules, scratch);
  if (rules.misfit === 0) return { fit: cautious, misfitting: false };
  if (excess(band, cautious) < 3) {
    const one = { ...rules, misfit: 0, maxPoles: cautious.poles.alpha.length + 1 };
    return { fit: growTo(band, cautious, one, scratch), misfitting: false };
  }
  const m = cautious.poles.alpha.length;
  const free = { ...rules, misfit: 0, maxPoles: Math.min(Math.max(2 * m, 2), m + 3) };
  const larger = growTo(band, cautious, free, scratch);
  if (excess(band, larger) < 3) return { fit: larger, misfitting: false };
  return { fit: cautious, misfitting: true };
}

function growTo(band: Band, first: BandFit, rules: GrowthRules, scratch: FitScratch): BandFit {
  let fit = first;
  while (fit.poles.alpha.length < rules.maxPoles && scratch.work < rules.workLimit) {
    scratch.current.evaluate(band, fit.poles);
    const candidates = scoreFurtherLine(
      band,
      scratch.current,
      trialAlphas(band, fit.poles),
      Math.ceil(band.count / PLACES),
    );
    const better = bestLarger(band, fit.poles, candidates, scratch);
    if (better === null) break;
    const needed = rules.threshold + rules.misfit * energyNear(band, better, scratch);
    if (fit.rss - better.rss < needed) break;
    fit = better;
  }
  return fit;
}

function trialAlphas(band: Band, poles: Poles): number[] {
  const bin = (2 * Math.PI * band.sampleRateHz) / band.size;
  const sorted = Array.from(poles.alpha).sort((a, b) => a - b);
  const middle = sorted.length ? sorted[sorted.length >> 1] : bin;
  const list = sorted.length ? [0.4 * middle, middle, 2.5 * middle] : [bin / 6, bin / 2.5, bin, 2.5 * bin];
  return list.map((a) => Math.min(Math.max(a, bin / 8, DECAY_RATE_MIN), DECAY_RATE_MAX));
}

/** The best fit with one more pole, from the places the score test names and from every pole split in two. */
function bestLarger(
  band: Band,
  poles: Poles,
  candidates: ScoreCandidate[],
  scratch: FitScratch,
): BandFit | null {
  const starts: Poles[] = [];
  const [first, second] = candidates;
  if (first) starts.push(withPole(poles, first.alpha, first.omega));
  if (second && Math.abs(second.omega - first.omega) > 0.5 * first.alpha) {
    starts.push(withPole(poles, second.alpha, second.omega));
  }
  const bin = (2 * Math.PI * band.sampleRateHz) / band.size;
  for (let j = 0; j < poles.alpha.length; j++) {
    if (poles.alpha[j] < bin / 30) continue;
    starts.push(splitPole(poles, j, 0.35), splitPole(poles, j, 1));
  }
  // A few steps from every start tell which two are worth carrying to the end.
  const trials = starts
    .map((s) => fitBand(band, s, boundsAround(s.alpha), scratch, 5))
    .filter((t) => isWithin(band, t.poles));
  trials.sort((a, b) => a.rss - b.rss);
  let best: BandFit | null = null;
  for (const t of trials.slice(0, 2)) {
    const done =
      t.stop === "converged" ? t : fitBand(band, t.poles, boundsAround(t.poles.alpha), scratch, 30);
    if ((best === null || done.rss < best.rss) && isWithin(band, done.poles)) best = done;
  }
  return best;
}

/** A pole held at the edge of the band stands for the skirt of a line outside, which is not this band's to explain. */
function isWithin(band: Band, poles: Poles): boolean {
  return poles.omega.every((w) => w > band.omega[0] && w < band.omega[band.count - 1]);
}

function withPole(poles: Poles, alpha: number, omega: number): Poles {
  return { alpha: Float64Array.of(...poles.alpha, alpha), omega: Float64Array.of(...poles.omega, omega) };
}

function splitPole(poles: Poles, j: number, distance: number): Poles {
  const moved = copyPoles(poles);
  const a = poles.alpha[j];
  moved.omega[j] += distance * a;
  return withPole(moved, a, poles.omega[j] - distance * a);
}

/**
 * Whitened energy of the other lines as seen from the weakest line of the fit: full at zero distance, gone two
 * linewidths away. A real decay spreads this much, times the misfit, where a perfect one would leave nothing.
 */
function energyNear(band: Band, fit: BandFit, scratch: FitScratch): number {
  const p = scratch.current;
  p.evaluate(band, fit.poles);
  const m = fit.poles.alpha.length;
  if (m < 2) return 0;
  const energy = lineEnergies(band, fit.poles, p);
  let weakest = 0;
  for (let j = 1; j < m; j++) if (energy[j] < energy[weakest]) weakest = j;
  let sum = 0;
  for (let j = 0; j < m; j++) {
    if (j === weakest) continue;
    const reach = misfitReach(fit.poles.alpha[j], fit.poles.omega[j]);
    sum += energy[j] / (1 + ((fit.poles.omega[j] - fit.poles.omega[weakest]) / reach) ** 4);
  }
  return sum;
}

/** Half-width, rad/s, of the region that a line's misfit may fill: two linewidths and 0.15 % of its frequency. */
export function misfitReach(alpha: number, omega: number): number {
  return 4 * Math.max(alpha, 0.02) + 0.0015 * omega;
}

/** Whitened energy of each line over the band, all channels. */
function lineEnergies(
  band: Band,
  poles: Poles,
  p: { cRe: Float64Array; cIm: Float64Array; columns: number },
): Float64Array {
  const { count: n, stepRe, stepIm, sampleRateHz: fs } = band;
  const energies = new Float64Array(poles.alpha.length);
  for (let j = 0; j < energies.length; j++) {
    const radius = Math.exp(-poles.alpha[j] / fs);
    const zRe = radius * Math.cos(poles.omega[j] / fs);
    const zIm = radius * Math.sin(poles.omega[j] / fs);
    for (let c = 0; c < band.channels.length; c++) {
      const at = c * p.columns + j;
      const power = p.cRe[at] ** 2 + p.cIm[at] ** 2;
      const { weight } = band.channels[c];
      let sum = 0;
      for (let i = 0; i < n; i++) {
        const a = 1 - (zRe * stepRe[i] - zIm * stepIm[i]);
        const b = zRe * stepIm[i] + zIm * stepRe[i];
        sum += (weight[i] * weight[i]) / (a * a + b * b);
      }
      energies[j] += power * sum;
    }
  }
  return energies;
}
