import { type Band, copyPoles, type Poles } from "./band.ts";
import { choleskyInPlace, choleskySolve } from "./hermitian.ts";
import { Projection } from "./projection.ts";

export type StopReason = "converged" | "no step lowers the residual" | "iteration limit" | "nothing to fit";

/** The outcome of one least-squares fit, with its own evidence. */
export interface BandFit {
  poles: Poles;
  rss: number;
  stop: StopReason;
  iterations: number;
  /** Poles that ended on a bound of decay rate or frequency. */
  boundsHit: number;
}

export interface PoleBounds {
  alphaMin: Float64Array;
  alphaMax: Float64Array;
}

/** Scratch for the fits of one recording: two projections that swap roles, and the normal equations. */
export class FitScratch {
  current = new Projection();
  trial = new Projection();
  lRe = new Float64Array(0);
  lIm = new Float64Array(0);
  stepRe = new Float64Array(0);
  stepIm = new Float64Array(0);
  /** Bins times squared columns of all evaluations so far: what the time goes with. */
  work = 0;

  reserve(m: number): void {
    if (this.lRe.length >= m * m) return;
    this.lRe = new Float64Array(m * m);
    this.lIm = new Float64Array(m * m);
    this.stepRe = new Float64Array(m);
    this.stepIm = new Float64Array(m);
  }
}

/** Hardly any decay over the longest record: a loud steady tone held to a faster one would ask for more lines to mend it. */
export const DECAY_RATE_MIN = 1e-4;
export const DECAY_RATE_MAX = 1500;

/** From here on down a line has hardly decayed within a record: it may come back up as far as one that starts here. */
const SLOW = 0.02;

/** A fit may move a decay rate by a factor of eight either way from where it started, within what a bell can do. */
export function boundsAround(alpha: Float64Array): PoleBounds {
  return {
    alphaMin: alpha.map((a) => Math.max(a / 8, DECAY_RATE_MIN)),
    alphaMax: alpha.map((a) => Math.min(Math.max(a, SLOW) * 8, DECAY_RATE_MAX)),
  };
}

/**
 * Levenberg-Marquardt on the poles of one band, the linear coefficients projected out. Steps are capped at about a
 * linewidth in frequency and a factor 1.6 in decay rate. `scratch.current` holds the projection at the returned poles.
 *
 * Stops when a step gains less than `tolerance` in the whitened residual (nats: 1e-3 is far below anything that matters), or
 * less than that part of what the bins leave on average, which moves no pole by more than a thirtieth of its error.
 */
export function fitBand(
  band: Band,
  start: Poles,
  bounds: PoleBounds,
  scratch: FitScratch,
  maxIterations = 40,
  tolerance = 1e-3,
): BandFit {
  const m = start.alpha.length;
  let poles = copyPoles(start);
  scratch.current.evaluate(band, poles);
  if (m === 0)
    return { poles, rss: scratch.current.rss, stop: "nothing to fit", iterations: 0, boundsHit: 0 };
  scratch.reserve(m);
  const binStep = (2 * Math.PI * band.sampleRateHz) / band.size;
  const lowest = band.omega[0];
  const highest = band.omega[band.count - 1];
  let lambda = 1e-3;
  let stop: StopReason = "iteration limit";
  let iterations = 0;
  let trialPoles = copyPoles(start);
  while (iterations < maxIterations) {
    iterations++;
    let accepted = false;
    let predicted = 0;
    for (let attempt = 0; attempt < 8 && !accepted; attempt++) {
      predicted = dampedStep(scratch, m, lambda);
      if (predicted < 0) {
        lambda *= 10;
        continue;
      }
      applyCappedStep(scratch, poles, trialPoles, bounds, binStep, lowest, highest);
      scratch.trial.evaluate(band, trialPoles);
      scratch.work += band.count * band.channels.length * (m + 1) * (m + 1);
      accepted = scratch.trial.rss <= scratch.current.rss;
      if (!accepted) lambda = Math.max(lambda, 1e-6) * 8;
    }
    if (!accepted) {
      stop = "no step lowers the residual";
      break;
    }
    const gained = scratch.current.rss - scratch.trial.rss;
    [scratch.current, scratch.trial] = [scratch.trial, scratch.current];
    [poles, trialPoles] = [trialPoles, poles];
    lambda = Math.max(lambda / 10, 1e-9);
    const enough = tolerance * Math.max(1, scratch.current.rss / (band.count * band.channels.length));
    if (gained < enough && predicted < 5 * enough) {
      stop = "converged";
      break;
    }
  }
  let boundsHit = 0;
  for (let j = 0; j < m; j++) {
    const a = poles.alpha[j];
    const w = poles.omega[j];
    if (a <= bounds.alphaMin[j] || a >= bounds.alphaMax[j] || w <= lowest || w >= highest) boundsHit++;
  }
  return { poles, rss: scratch.current.rss, stop, iterations, boundsHit };
}

/** (H + lambda diag H) step = g; returns the predicted gain, or -1 when the matrix is not positive definite. */
function dampedStep(scratch: FitScratch, m: number, lambda: number): number {
  const { lRe, lIm, stepRe, stepIm } = scratch;
  const { hRe, hIm, gRe, gIm } = scratch.current;
  for (let i = 0; i < m * m; i++) {
    lRe[i] = hRe[i];
    lIm[i] = hIm[i];
  }
  for (let j = 0; j < m; j++) lRe[j * m + j] *= 1 + lambda;
  if (!choleskyInPlace(lRe, lIm, m)) return -1;
  for (let j = 0; j < m; j++) {
    stepRe[j] = gRe[j];
    stepIm[j] = gIm[j];
  }
  choleskySolve(lRe, lIm, m, stepRe, stepIm);
  let predicted = 0;
  for (let j = 0; j < m; j++) predicted += gRe[j] * stepRe[j] + gIm[j] * stepIm[j];
  return Math.max(predicted, 0);
}

function applyCappedStep(
  scratch: FitScratch,
  from: Poles,
  to: Poles,
  bounds: PoleBounds,
  binStep: number,
  lowest: number,
  highest: number,
): void {
  const { stepRe, stepIm } = scratch;
  let shrink = 1;
  for (let j = 0; j < from.alpha.length; j++) {
    const a = Math.max(from.alpha[j], 1e-3);
    shrink = Math.max(
      shrink,
      Math.abs(stepIm[j]) / (2 * a + binStep),
      Math.abs(stepRe[j]) / (0.6 * a + 0.05),
    );
  }
  for (let j = 0; j < from.alpha.length; j++) {
    to.alpha[j] = Math.min(
      bounds.alphaMax[j],
      Math.max(bounds.alphaMin[j], from.alpha[j] - stepRe[j] / shrink),
    );
    to.omega[j] = Math.min(highest, Math.max(lowest, from.omega[j] + stepIm[j] / shrink));
  }
}
