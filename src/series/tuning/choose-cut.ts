import { JUDGEMENT } from "../judgement.ts";
import type { CutOutcome, NextCut } from "../result.ts";
import { mixtureEstimate, mixtureMean } from "./mixture.ts";
import { amountForChance, chancePast, type Movement, outcomeOf } from "./outcome.ts";

/** A place that was cut before, and what cutting there does to every partial of one bell. */
export interface Place {
  at: string;
  unit: "g" | "mm";
  movements: Movement[];
  /** The largest cut made there, in this bell's measure. */
  largest: number;
}

export type Choice = { cut: NextCut; reason: null } | { cut: null; reason: string };

/**
 * The next cut of one bell: the place and amount that bring its partials nearest to their targets, stopping short so that
 * in 95 % of outcomes none of those still on the near side is taken past.
 *
 * 1. At each place the partials are told apart: those that cutting brings nearer and that are surely not there yet are
 *    kept short; the others are at their target or past it, and only counted.
 * 2. The chances to be past of all that are kept short may sum to 5 % (Boole), which holds whatever they have in common.
 * 3. The amount is the least of: where that sum is reached; where the expected sum of squared deviations
 *    of all partials is least; the largest cut made there, since the line is known no further.
 * 4. The place that lowers the expected sum of squares most is taken.
 */
export function chooseCut(places: readonly Place[]): Choice {
  const choices = places.map(cutAt);
  const cuts = choices.filter((choice) => choice.cut !== null);
  if (cuts.length > 0) {
    const best = cuts.reduce((a, b) => (b.gain > a.gain ? b : a));
    return { cut: best.cut, reason: null };
  }
  return { cut: null, reason: choices.map(({ reason }) => reason).join("; ") };
}

type PlaceChoice = { cut: NextCut; gain: number; reason: null } | { cut: null; reason: string };

function cutAt({ at, unit, movements, largest }: Place): PlaceChoice {
  const near = movements.filter(isNear);
  const share = JUDGEMENT.chanceOfOvershoot / Math.max(near.length, 1);
  const kept = near.filter((movement) => chancePast(movement, 0) < share);
  if (kept.length === 0) {
    return {
      cut: null,
      reason: `${at}: every partial is at its target, past it, or cannot be reached by removing metal there`,
    };
  }
  const chanceOfAny = (x: number) => kept.reduce((sum, movement) => sum + chancePast(movement, x), 0);
  const safe = amountForChance(chanceOfAny, JUDGEMENT.chanceOfOvershoot, largest) ?? Number.POSITIVE_INFINITY;
  const balance = bestBalance(movements);
  if (balance <= 0) {
    return {
      cut: null,
      reason: `${at}: more would be lost at other partials than won`,
    };
  }
  const most = Math.min(safe, balance, largest);
  const amount = roundedDown(most);
  const first = kept.reduce((a, b) => (chancePast(b, amount) > chancePast(a, amount) ? b : a));
  const moved = Math.max(...kept.map(({ slope }) => Math.abs(mixtureMean(slope)))) * amount;
  if (moved < JUDGEMENT.repeatabilityCents) {
    return {
      cut: null,
      reason: `${at}: what could safely be taken moves the pitch by less than two measurements of an untouched bell differ`,
    };
  }
  const outcomes = movements.map(
    (movement): CutOutcome => ({
      partial: movement.partial,
      predictedCents: mixtureEstimate(outcomeOf(movement, amount)),
      staysShort: kept.includes(movement),
    }),
  );
  const cut: NextCut = {
    removeG: unit === "g" ? amount : null,
    removeMm: unit === "mm" ? amount : null,
    at,
    partial: first.partial,
    predictedCents: outcomes.find(({ partial }) => partial === first.partial)!.predictedCents,
    limitedBy:
      most === safe
        ? "its target"
        : most === largest
          ? "the largest cut made there so far"
          : "the balance of the partials",
    outcomes,
  };
  return { cut, gain: squares(movements, 0) - squares(movements, amount), reason: null };
}

/** Whether cutting, by the mean slope, brings the partial nearer. */
function isNear({ slope, deviationCents }: Movement): boolean {
  return mixtureMean(slope) * deviationCents.value < 0;
}

/** E[slope^2] over bells and cuts. */
function meanSquare({ slope: { weight, mean, sd, cutSd } }: Movement): number {
  return weight.reduce((sum, w, i) => sum + w * (mean[i]! ** 2 + sd[i]! ** 2 + cutSd[i]! ** 2), 0);
}

/** Expected sum of squared deviations after a cut, less what no cut changes. */
function squares(movements: readonly Movement[], amount: number): number {
  return movements.reduce(
    (sum, movement) =>
      sum +
      movement.deviationCents.value ** 2 +
      2 * amount * movement.deviationCents.value * mixtureMean(movement.slope) +
      amount ** 2 * meanSquare(movement),
    0,
  );
}

/** The amount at which that sum, a parabola, is least. */
function bestBalance(movements: readonly Movement[]): number {
  let pull = 0;
  let bend = 0;
  for (const movement of movements) {
    pull -= movement.deviationCents.value * mixtureMean(movement.slope);
    bend += meanSquare(movement);
  }
  return pull / bend;
}

/** An amount of two digits, as one can be weighed out; rounded down, since metal does not go back on. */
export function roundedDown(amount: number): number {
  if (amount <= 0) return 0;
  const step = 10 ** (Math.floor(Math.log10(amount)) - 1);
  return Number((Math.floor(amount / step + 1e-9) * step).toPrecision(2));
}
