import type { KnownStrike, ModeEstimate } from "../support/synthetic/index.ts";

/** What an estimator under test returns for one recording of one strike. */
export interface FitReport {
  /** Amplitudes are those at referenceSample. */
  estimates: ModeEstimate[];
  referenceSample: number;
  /** First sample that the fit used: the bound is computed from there. */
  startSample: number;
  /** Wall time of each stage in its order, ms. */
  stages: { name: string; ms: number }[];
  /** False where the ring-down was said not to be a sum of free decays. */
  freeDecay: boolean;
}

export interface Estimator {
  name: string;
  /** False: its estimates carry no standard deviations, so that coverage means nothing. */
  hasIntervals: boolean;
  /** `strike` is the truth of a synthetic bell: only for methods that measure what the search for strikes costs. */
  fit(channels: Float32Array[], sampleRateHz: number, strike?: KnownStrike): FitReport;
}

/** Runs one stage and notes its wall time. */
export function timed<T>(stages: FitReport["stages"], name: string, stage: () => T): T {
  const began = performance.now();
  const result = stage();
  stages.push({ name, ms: performance.now() - began });
  return result;
}
