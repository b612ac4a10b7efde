import { countOf, makeBell, type SyntheticBell, seeable } from "../support/synthetic/index.ts";
import { ordinaryMethod } from "./baseline.ts";
import type { Estimator } from "./estimator.ts";
import { mean, median, runTrial } from "./evaluate.ts";
import { decimals, markdownTable } from "./markdown.ts";

/** The estimator beside the ordinary method on the same bells; errors over the bound from the first contact. */
export function baselineTable(estimator: Estimator, bells: number): string {
  const rows = (["near", "splits"] as const).flatMap((kind) => {
    const chosen = Array.from({ length: bells }, (_, seed) => makeBell(kind, seed));
    return [...new Set([estimator, ordinaryMethod])].map((method) => [
      kind,
      method.name,
      ...compare(method, chosen),
    ]);
  });
  const head = ["bells", "method", "missed of seeable, %", "invented a bell"];
  return markdownTable([...head, "median f error", "median decay error", "ms a bell"], rows);
}

function compare(method: Estimator, bells: SyntheticBell[]): string[] {
  const trials = bells.map((bell) => runTrial(method, bell));
  const expected = trials.reduce((sum, trial) => sum + trial.boundAtOnset.modes.filter(seeable).length, 0);
  const found = trials.flatMap((trial) =>
    trial.score.matched
      .filter(({ mode }) => seeable(trial.boundAtOnset.modes[mode]))
      .map((match) => {
        const onset = trial.boundAtOnset.modes[match.mode];
        const start = trial.boundAtStart.modes[match.mode];
        return {
          frequency: Math.abs(match.frequencyErrorOverBound) * (start.frequencySdHz / onset.frequencySdHz),
          decay: Math.abs(match.decayErrorOverBound) * (start.decayRateSdPerS / onset.decayRateSdPerS),
        };
      }),
  );
  return [
    decimals(100 * (1 - found.length / expected), 1),
    decimals(countOf(trials.map((trial) => trial.score)).invented / bells.length, 2),
    decimals(median(found.map((error) => error.frequency)), 2),
    decimals(median(found.map((error) => error.decay)), 2),
    decimals(mean(trials.map((trial) => trial.ms)), 0),
  ];
}
