import {
  type BellScore,
  type BellTruth,
  type Bound,
  boundOf,
  type SyntheticBell,
  scoreBell,
  seeable,
} from "../support/synthetic/index.ts";
import type { Estimator } from "./estimator.ts";

/** One bell as an estimator saw it, beside the truth. */
export interface Trial {
  truth: BellTruth;
  /** From the first contact, the whole ring. */
  boundAtOnset: Bound;
  /** From the first sample that the fit used. */
  boundAtStart: Bound;
  /** Against boundAtStart. */
  score: BellScore;
  startDelayS: number;
  freeDecay: boolean;
  ms: number;
}

/** Fits a bell and scores the estimates, their amplitudes carried to the first contact by their own decay rate. */
export function runTrial(estimator: Estimator, { channels, truth }: SyntheticBell): Trial {
  const began = performance.now();
  const report = estimator.fit(channels, truth.sampleRateHz, truth);
  const ms = performance.now() - began;
  const delayS = (report.referenceSample - truth.onsetSample) / truth.sampleRateHz;
  const estimates = report.estimates.map((estimate) => ({
    ...estimate,
    amplitude: Array.from(estimate.amplitude, (a) => a * Math.exp(estimate.decayRatePerS * delayS)),
  }));
  const start = Math.max(report.startSample, truth.onsetSample);
  const boundAtStart = boundOf(truth, start);
  return {
    truth,
    boundAtOnset: boundOf(truth, truth.onsetSample),
    boundAtStart,
    score: scoreBell(truth, boundAtStart, estimates),
    startDelayS: (report.startSample - truth.onsetSample) / truth.sampleRateHz,
    freeDecay: report.freeDecay,
    ms,
  };
}

/**
 * Missed of seeable, both as seen from the first contact: a fit that starts late has fewer modes before it, and is not
 * to gain by it.
 */
export function missedFromOnset(trials: Trial[]): { missed: number; seeable: number } {
  let missed = 0;
  let expected = 0;
  for (const { boundAtOnset, score } of trials) {
    boundAtOnset.modes.forEach((bound, mode) => {
      if (!seeable(bound)) return;
      expected++;
      if (!score.matched.some((match) => match.mode === mode)) missed++;
    });
  }
  return { missed, seeable: expected };
}

export function median(values: number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[middle] : (sorted[middle - 1] + sorted[middle]) / 2;
}

export const mean = (values: number[]): number =>
  values.reduce((sum, v) => sum + v, 0) / Math.max(1, values.length);
