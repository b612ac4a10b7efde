import type { Estimate } from "../measurement/index.ts";
import { centsBetween, centsFrom, meanOf, median, minus, SD_TO_CI95 } from "./cents.ts";
import { JUDGEMENT } from "./judgement.ts";
import type { DecaySpread, NeighbourInterval, OddOne, SeriesPartial } from "./result.ts";

/** The last measured pass of each bell; [] for a bell without one. */
export interface CurrentBell {
  name: string;
  targetHz: number;
  partials: SeriesPartial[];
}

/** Mean deviation of a bell's partials, in cents. */
export function meanDeviation(partials: readonly SeriesPartial[]): Estimate | null {
  return partials.length === 0 ? null : meanOf(partials.map(({ deviationCents }) => deviationCents));
}

/**
 * The shift of all targets that leaves the least sum of squares of the bells' mean deviations, each bell counted once: their
 * mean, without the bells that are odd in pitch. The half-width is that of the measurements.
 */
export function commonShift(bells: readonly CurrentBell[]): Estimate | null {
  const odd = oddInPitch(bells).map(({ bell }) => bell);
  const means = bells.flatMap(({ name, partials }) =>
    odd.includes(name) ? [] : (meanDeviation(partials) ?? []),
  );
  return means.length === 0 ? null : meanOf(means);
}

/** For every partial that two neighbours both have: the interval between them, and how far it is from the one wanted. */
export function neighbourIntervals(bells: readonly CurrentBell[]): NeighbourInterval[] {
  return bells.slice(1).flatMap((to, i) => {
    const from = bells[i]!;
    return from.partials.flatMap((low): NeighbourInterval[] => {
      const high = to.partials.find(({ name }) => name === low.name);
      if (high === undefined) return [];
      const targetCents = centsBetween(low.targetHz, high.targetHz);
      const errorCents = minus(high.deviationCents, low.deviationCents);
      return [
        {
          from: from.name,
          to: to.name,
          partial: low.name,
          intervalCents: { value: targetCents + errorCents.value, ci95: errorCents.ci95 },
          targetCents,
          errorCents,
        },
      ];
    });
  });
}

interface Damped {
  bell: string;
  partial: SeriesPartial;
  /** Logarithm of the loss factor up to a constant: by similarity it does not go with the size of the bell. */
  logLoss: number;
}

/** Every partial that two bells or more have, with its damping on each. */
function dampedByPartial(bells: readonly CurrentBell[]): Map<string, Damped[]> {
  const groups = new Map<string, Damped[]>();
  for (const { name: bell, partials } of bells) {
    for (const partial of partials) {
      const product = partial.decayTimeS.value * partial.frequencyHz.value;
      if (!(product > 0)) continue;
      const group = groups.get(partial.name) ?? [];
      groups.set(partial.name, group);
      group.push({ bell, partial, logLoss: -Math.log(product) });
    }
  }
  for (const [name, group] of groups) if (group.length < 2) groups.delete(name);
  return groups;
}

/** How much decay times differ over the set, partial by partial. */
export function decaySpread(bells: readonly CurrentBell[]): DecaySpread[] {
  return [...dampedByPartial(bells)].map(([partial, group]) => {
    const times = group.map((each) => each.partial.decayTimeS).sort((a, b) => a.value - b.value);
    const mean = group.reduce((sum, { logLoss }) => sum + logLoss, 0) / group.length;
    const variance = group.reduce((sum, { logLoss }) => sum + (logLoss - mean) ** 2, 0) / (group.length - 1);
    const spread = 100 * Math.sqrt(variance);
    const measured = Math.sqrt(
      times.reduce((sum, { value, ci95 }) => sum + (ci95 / value) ** 2, 0) / times.length,
    );
    // Standard error of a standard deviation, normal data: s / sqrt(2 (n - 1)); the measurements' own errors add theirs.
    const ci95 = Math.hypot(SD_TO_CI95 * spread, 100 * measured) / Math.sqrt(2 * (group.length - 1));
    return {
      partial,
      bells: group.length,
      shortestS: times[0]!,
      longestS: times.at(-1)!,
      // Two bells tell no spread.
      spreadPercent: group.length < 3 ? null : { value: spread, ci95 },
    };
  });
}

/** Iglewicz and Hoaglin's modified z score, with a least distance that counts. */
function isOdd(value: number, all: readonly number[], least: number): boolean {
  const middle = median(all);
  const scatter = median(all.map((each) => Math.abs(each - middle)));
  const distance = Math.abs(value - middle);
  return distance > least && 0.6745 * distance > JUDGEMENT.oddScore * scatter;
}

/** Bells whose mean deviation stands apart from those of the set. */
export function oddInPitch(bells: readonly CurrentBell[]): OddOne[] {
  const means = bells.flatMap(({ name, partials }) => {
    const mean = meanDeviation(partials);
    return mean === null ? [] : [{ name, mean }];
  });
  if (means.length < JUDGEMENT.leastForOdd) return [];
  const values = means.map(({ mean }) => mean.value);
  return means
    .filter(({ mean }) => isOdd(mean.value, values, JUDGEMENT.oddCents + mean.ci95))
    .map(({ name, mean }) => {
      const amount = { value: mean.value - median(values), ci95: mean.ci95 };
      const side = amount.value < 0 ? "flat" : "sharp";
      return {
        bell: name,
        what: "pitch",
        partial: null,
        amount,
        text: `${name} is ${side} of the other bells`,
      };
    });
}

/** Partials that ring much longer or shorter on one bell than on the others, once pitch is allowed for. */
export function oddInDecay(bells: readonly CurrentBell[]): OddOne[] {
  return [...dampedByPartial(bells)].flatMap(([name, group]) => {
    if (group.length < JUDGEMENT.leastForOdd) return [];
    const values = group.map(({ logLoss }) => logLoss);
    return group.flatMap(({ bell, partial, logLoss }): OddOne[] => {
      const { value, ci95 } = partial.decayTimeS;
      if (!isOdd(logLoss, values, Math.log(JUDGEMENT.oddDecayRatio) + ci95 / value)) return [];
      const ratio = Math.exp(logLoss - median(values));
      const rings = ratio > 1 ? "shorter" : "longer";
      return [
        {
          bell,
          what: "decay",
          partial: name,
          amount: { value: ratio, ci95: (ratio * ci95) / value },
          text: `the ${name} of ${bell} rings ${rings} than those of the other bells`,
        },
      ];
    });
  });
}

/** Deviations counted from another pitch: every target moved by so many cents. */
export function movedBy(partial: SeriesPartial, cents: number): SeriesPartial {
  const targetHz = partial.targetHz * 2 ** (cents / 1200);
  return { ...partial, targetHz, deviationCents: centsFrom(targetHz, partial.frequencyHz) };
}
