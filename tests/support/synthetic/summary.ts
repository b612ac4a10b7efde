import type { BellScore, MatchedMode } from "./score.ts";

/** A class of modes whose errors are pooled. */
export interface ModeClass {
  /** "single": nothing within 6 linewidths; "pair": the nearest 1 to 6 linewidths off; "close": nearer. */
  spacing: "single" | "pair" | "close" | "any";
  minimumRho: number;
}

/** Errors of a class of matched, seeable modes over the bound. Null where the class is empty. */
export interface ErrorSummary {
  count: number;
  /** Root mean square of error over bound; 1 is the best an unbiased estimator can do. */
  frequencyRmse: number | null;
  decayRmse: number | null;
  levelRmse: number | null;
  /** 68 % of the errors over the bound are within: 1 for normal errors at the bound, little moved by a few wild ones. */
  frequencyQuantile68: number | null;
  decayQuantile68: number | null;
  frequencyLinewidthsQuantile68: number | null;
  decayRelativeQuantile68: number | null;
  /** Share of the estimates' own 95 % intervals that hold the truth. */
  frequencyCoverage: number | null;
  decayCoverage: number | null;
}

/** Counts over the bells of a kind. */
export interface CountSummary {
  bells: number;
  seeable: number;
  missed: number;
  invented: number;
}

export const SINGLE_LINEWIDTHS = 6;

export function countOf(scores: BellScore[]): CountSummary {
  const total = (count: (score: BellScore) => number) => scores.reduce((sum, score) => sum + count(score), 0);
  return {
    bells: scores.length,
    seeable: total((score) => score.seeableCount),
    missed: total((score) => score.missed.length),
    invented: total((score) => score.invented.length),
  };
}

/** Pools the matched, seeable modes of a class over all bells. */
export function summarise(scores: BellScore[], { spacing, minimumRho }: ModeClass): ErrorSummary {
  const modes = scores
    .flatMap((score) => score.matched)
    .filter((mode) => mode.seeable && mode.rho >= minimumRho)
    .filter((mode) => spacing === "any" || spacingOf(mode) === spacing);
  return summariseModes(modes);
}

/** As summarise, of matched modes chosen by the caller. */
export function summariseModes(modes: MatchedMode[]): ErrorSummary {
  const frequency = modes.map((mode) => mode.frequencyErrorOverBound);
  const decay = modes.map((mode) => mode.decayErrorOverBound);
  const level = modes.flatMap((mode) => mode.levelErrorOverBound ?? []);
  return {
    count: modes.length,
    frequencyRmse: rms(frequency),
    decayRmse: rms(decay),
    levelRmse: rms(level),
    frequencyQuantile68: quantile68(frequency),
    decayQuantile68: quantile68(decay),
    frequencyLinewidthsQuantile68: quantile68(modes.map((mode) => mode.frequencyErrorLinewidths)),
    decayRelativeQuantile68: quantile68(modes.map((mode) => mode.decayErrorRelative)),
    frequencyCoverage: share(modes.map((mode) => mode.frequencyCovered)),
    decayCoverage: share(modes.map((mode) => mode.decayCovered)),
  };
}

export function spacingOf(mode: MatchedMode): "single" | "pair" | "close" {
  if (mode.gapLinewidths > SINGLE_LINEWIDTHS) return "single";
  return mode.gapLinewidths >= 1 ? "pair" : "close";
}

function rms(values: number[]): number | null {
  return values.length === 0 ? null : Math.sqrt(values.reduce((sum, v) => sum + v * v, 0) / values.length);
}

/** 68.27 % quantile of the absolute values, interpolated. */
function quantile68(values: number[]): number | null {
  if (values.length === 0) return null;
  const sizes = values.map(Math.abs).sort((a, b) => a - b);
  const position = 0.6827 * (sizes.length - 1);
  const below = Math.floor(position);
  const above = Math.min(below + 1, sizes.length - 1);
  return sizes[below] + (position - below) * (sizes[above] - sizes[below]);
}

function share(flags: boolean[]): number | null {
  return flags.length === 0 ? null : flags.filter(Boolean).length / flags.length;
}
