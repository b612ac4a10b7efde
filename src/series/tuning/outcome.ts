import type { Estimate } from "../../measurement/index.ts";
import { SD_TO_CI95 } from "../cents.ts";
import { JUDGEMENT } from "../judgement.ts";
import { type NormalMixture, normalBelow } from "./mixture.ts";
import type { Slope } from "./slope.ts";

/** Where one partial stands, and what cutting at one place does to it. */
export interface Movement {
  partial: string;
  deviationCents: Estimate;
  slope: Slope;
}

/** Variance of what will be measured around what is told now: this measurement, and a bell's change from day to day. */
function standingVariance({ deviationCents }: Movement): number {
  return (deviationCents.ci95 ** 2 + JUDGEMENT.repeatabilityCents ** 2) / SD_TO_CI95 ** 2;
}

/** The deviation after a cut of `amount`, in cents: a mixture of normal distributions. */
export function outcomeOf(movement: Movement, amount: number): NormalMixture {
  const { slope, deviationCents } = movement;
  const standing = standingVariance(movement);
  return {
    weight: slope.weight,
    mean: slope.mean.map((mean) => deviationCents.value + mean * amount),
    sd: slope.sd.map((sd, i) => Math.sqrt(standing + amount ** 2 * (sd ** 2 + slope.cutSd[i]! ** 2))),
  };
}

/** Probability that after a cut of `amount` the partial lies on the other side of its target from where it is now. */
export function chancePast(movement: Movement, amount: number): number {
  const { slope, deviationCents } = movement;
  const standing = standingVariance(movement);
  const side = deviationCents.value < 0 ? -1 : 1;
  let chance = 0;
  for (let i = 0; i < slope.weight.length; i++) {
    const spread = Math.sqrt(standing + amount ** 2 * (slope.sd[i]! ** 2 + slope.cutSd[i]! ** 2));
    chance +=
      slope.weight[i]! * normalBelow((-side * (deviationCents.value + slope.mean[i]! * amount)) / spread);
  }
  return chance;
}

/** Probability that taking metal off here brings the partial nearer to its target, at first. */
export function chanceNearer({ slope, deviationCents }: Movement): number {
  const side = deviationCents.value < 0 ? -1 : 1;
  let chance = 0;
  for (let i = 0; i < slope.weight.length; i++) {
    chance += slope.weight[i]! * normalBelow((-side * slope.mean[i]!) / slope.sd[i]!);
  }
  return chance;
}

const DOUBLINGS = 40;
const BISECTIONS = 30;

/**
 * The amount at which a chance reaches `wanted`, if it grows with the amount, as the chance to be past a target does while
 * cutting brings the partial nearer. 0 where it is that high already; null where it never gets there.
 *
 * @param scale a typical amount, to begin the search from
 */
export function amountForChance(
  chanceAt: (amount: number) => number,
  wanted: number,
  scale: number,
): number | null {
  if (chanceAt(0) >= wanted) return 0;
  let high = scale;
  for (let step = 0; chanceAt(high) < wanted; step++) {
    if (step === DOUBLINGS) return null;
    high *= 2;
  }
  let low = 0;
  for (let step = 0; step < BISECTIONS; step++) {
    const middle = (low + high) / 2;
    if (chanceAt(middle) < wanted) low = middle;
    else high = middle;
  }
  return low;
}
