import {
  type BellKind,
  countOf,
  linewidthHz,
  type MatchedMode,
  makeBell,
  seeable,
  summarise,
  summariseModes,
} from "../support/synthetic/index.ts";
import type { Estimator } from "./estimator.ts";
import { mean, median, missedFromOnset, runTrial, type Trial } from "./evaluate.ts";
import { decimals, markdownTable } from "./markdown.ts";

/** The model holds: free decays in stationary noise. */
export const IDEAL_KINDS: BellKind[] = [
  "near",
  "splits",
  "coloured",
  "fast neighbour",
  "quadruplets",
  "stereo",
];
/** It does not. */
export const DISTURBED_KINDS: BellKind[] = ["burst", "bounce", "room", "gain control", "glide"];

export function trialsOf(estimator: Estimator, kind: BellKind, bells: number): Trial[] {
  return Array.from({ length: bells }, (_, seed) => runTrial(estimator, makeBell(kind, seed)));
}

const percent = (share: number | null) => (share === null ? "-" : (100 * share).toFixed(1));

/** RMSE over the bound, coverage, missed and invented per kind and class; errors of seeable modes only. */
export function idealKindsTable(estimator: Estimator, bells: number): string {
  const rows: string[][] = [];
  for (const kind of IDEAL_KINDS) {
    const trials = trialsOf(estimator, kind, bells);
    const scores = trials.map((trial) => trial.score);
    const counts = { ...countOf(scores), ...missedFromOnset(trials) };
    const costs = trials.flatMap(startCosts);
    for (const spacing of ["single", "pair", "close"] as const) {
      for (const minimumRho of [50, 100, 250]) {
        const row = summarise(scores, { spacing, minimumRho });
        // The first class shows the counts of the kind, so that a kind of which nothing was found is seen.
        const first = spacing === "single" && minimumRho === 50;
        if (row.count === 0 && !first) continue;
        rows.push([
          first ? kind : "",
          `${spacing} rho>=${minimumRho}`,
          `${row.count}`,
          decimals(row.frequencyRmse, 2),
          decimals(row.decayRmse, 2),
          decimals(row.levelRmse, 2),
          decimals(row.frequencyQuantile68, 2),
          decimals(row.decayQuantile68, 2),
          estimator.hasIntervals ? percent(row.frequencyCoverage) : "-",
          estimator.hasIntervals ? percent(row.decayCoverage) : "-",
          first ? `${counts.missed}/${counts.seeable}` : "",
          first ? decimals(counts.invented / counts.bells, 3) : "",
          first ? decimals(median(costs), 2) : "",
          first ? decimals(mean(trials.map((trial) => trial.ms)), 0) : "",
        ]);
      }
    }
  }
  const head = ["bells", "class", "n", "f", "decay", "level", "f 68 %", "decay 68 %"];
  const rest = ["f in 95 %", "decay in 95 %", "missed", "invented a bell", "start cost", "ms a bell"];
  return markdownTable([...head, ...rest], rows);
}

/** Standard deviation of the bound from the fit's start over that from the first contact: what starting late costs. */
function startCosts(trial: Trial): number[] {
  return trial.boundAtStart.modes.flatMap((bound, i) => {
    const onset = trial.boundAtOnset.modes[i];
    return seeable(onset) ? [bound.frequencySdHz / onset.frequencySdHz] : [];
  });
}

const SLOW_PER_S = 15;

/** A partial that must be found although the record is not ideal: seeable from the first contact, slow, a linewidth clear. */
function expected(trial: Trial, mode: number): boolean {
  const bound = trial.boundAtOnset.modes[mode];
  const { decayRatePerS } = trial.truth.modes[mode];
  return seeable(bound) && decayRatePerS < SLOW_PER_S && bound.gapHz >= linewidthHz({ decayRatePerS });
}

/** Errors in linewidths, coverage, missed and invented where the record is not a sum of free decays in steady noise. */
export function disturbedTable(estimator: Estimator, groups: { name: string; trials: Trial[] }[]): string {
  const rows = groups.map(({ name, trials }) => {
    const wanted = trials.flatMap((trial) =>
      trial.truth.modes.flatMap((_, mode) => (expected(trial, mode) ? [{ trial, mode }] : [])),
    );
    const found = wanted.flatMap(({ trial, mode }): MatchedMode[] =>
      trial.score.matched.filter((match) => match.mode === mode),
    );
    const row = summariseModes(found);
    const invented = trials.map((trial) => trial.score.invented.length);
    const within = found.filter((match) => Math.abs(match.frequencyErrorLinewidths) <= 0.03).length;
    return [
      name,
      `${trials.length}`,
      `${wanted.length - found.length}/${wanted.length}`,
      decimals(mean(invented), 2),
      decimals(row.frequencyLinewidthsQuantile68, 4),
      decimals(row.decayRelativeQuantile68, 4),
      percent(found.length > 0 ? within / found.length : null),
      decimals(row.frequencyQuantile68, 2),
      estimator.hasIntervals ? percent(row.frequencyCoverage) : "-",
      estimator.hasIntervals ? percent(row.decayCoverage) : "-",
      percent(mean(trials.map((trial) => (trial.freeDecay ? 0 : 1)))),
      decimals(median(trials.map((trial) => trial.startDelayS)) * 1000, 0),
      decimals(mean(trials.map((trial) => trial.ms)), 0),
    ];
  });
  const head = ["record", "bells", "missed", "invented a bell", "f 68 %, linewidths", "decay 68 %, relative"];
  const middle = ["f within .03 lw, %", "f 68 % over bound", "f in 95 %", "decay in 95 %"];
  return markdownTable([...head, ...middle, "said not free, %", "start, ms", "ms a bell"], rows);
}
