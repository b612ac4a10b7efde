import type { NormalMixture } from "./mixture.ts";

/** One cut: what was taken off, in the unit of the bell asked about, and what it did to one partial. */
export interface Cut {
  /** Any label that is the same for cuts on one bell. */
  bell: string;
  /** Above 0. */
  amount: number;
  changeCents: number;
  /** Variance of the change from the two measurements. */
  variance: number;
}

/** What is known of one bell's slope (cents per unit removed), and how far cuts scatter about it. */
export interface Slope extends NormalMixture {
  /** Standard deviation of a single cut's slope about the bell's, for each component. */
  cutSd: Float64Array;
}

/** Standard deviations from cut to cut, over the typical slope: even in their logarithm. */
const LEAST_CUT_SD = 0.01;
const MOST_CUT_SD = 3;
const CUT_GRID = 16;
/** Standard deviation from bell to bell, over the typical slope: quantiles of a half-Cauchy distribution of this scale. */
const BELL_SCALE = 0.5;
const BELL_GRID = 14;

/** Components of less weight than this, next to the heaviest, tell nothing and are left out. */
const LEAST_WEIGHT = 1e-6;

/** Cuts on one bell. */
interface OwnCuts {
  bell: string;
  amount: Float64Array;
  changeCents: Float64Array;
  variance: Float64Array;
}

/**
 * Slope of one bell from cuts on it and on similar ones: a line through the origin (no cut, no change) with a slope for
 * each bell, scattered from bell to bell, and a scatter from cut to cut, since no two cuts lie alike.
 *
 *   change = amount (common + bell + cut) + measurement error
 *
 * Both scatters are unknown and few cuts tell them badly, so they are not estimated and then trusted: the answer is a
 * mixture over a grid of both, each weighed by how well it explains the changes. The common slope has a flat prior, the
 * scatter of cuts 1/sd, that of bells a half-Cauchy (Gelman, Bayesian Analysis 1 (2006) 515-533). One component of the
 * mixture is ordinary random-effects regression with known variances. Nothing is assumed of the slope's sign.
 *
 * @param bell the bell asked about; it need not have any cut
 */
export function fitSlope(cuts: readonly Cut[], bell: string): Slope {
  const groups = byBell(cuts);
  const own = groups.findIndex((group) => group.bell === bell);
  const bellGrid = groups.length > 1 || own < 0 ? BELL_GRID : 1;
  const typical = typicalSlope(cuts);
  const found: Component[] = [];
  for (let i = 0; i < CUT_GRID; i++) {
    const cutSd = typical * LEAST_CUT_SD * (MOST_CUT_SD / LEAST_CUT_SD) ** (i / (CUT_GRID - 1));
    const lines = ownLines(groups, cutSd);
    for (let j = 0; j < bellGrid; j++) {
      const bellSd =
        bellGrid > 1 ? typical * BELL_SCALE * Math.tan((Math.PI / 2) * ((j + 0.5) / BELL_GRID)) : 0;
      found.push(component(lines, own, cutSd, bellSd));
    }
  }
  const best = Math.max(...found.map(({ log }) => log));
  const kept = found.filter(({ log }) => Math.exp(log - best) >= LEAST_WEIGHT);
  const total = kept.reduce((sum, { log }) => sum + Math.exp(log - best), 0);
  return {
    weight: Float64Array.from(kept, ({ log }) => Math.exp(log - best) / total),
    mean: Float64Array.from(kept, ({ mean }) => mean),
    sd: Float64Array.from(kept, ({ sd }) => sd),
    cutSd: Float64Array.from(kept, ({ cutSd }) => cutSd),
  };
}

function byBell(cuts: readonly Cut[]): OwnCuts[] {
  return [...new Set(cuts.map(({ bell }) => bell))].map((bell) => {
    const own = cuts.filter((cut) => cut.bell === bell);
    return {
      bell,
      amount: Float64Array.from(own, ({ amount }) => amount),
      changeCents: Float64Array.from(own, ({ changeCents }) => changeCents),
      variance: Float64Array.from(own, ({ variance }) => variance),
    };
  });
}

/** Size of a slope that the scatters are measured by; never 0, so that a place without effect can be told too. */
function typicalSlope(cuts: readonly Cut[]): number {
  let changes = 0;
  let amounts = 0;
  for (const { amount, changeCents, variance } of cuts) {
    changes += changeCents ** 2 + variance;
    amounts += amount ** 2;
  }
  return Math.sqrt(changes / amounts);
}

/** Each bell's own line at a given scatter of cuts: its slope, the precision of that, and how likely the changes are on it. */
interface OwnLines {
  slope: Float64Array;
  precision: Float64Array;
  log: number;
}

function ownLines(groups: readonly OwnCuts[], cutSd: number): OwnLines {
  const slope = new Float64Array(groups.length);
  const precision = new Float64Array(groups.length);
  let log = 0;
  groups.forEach(({ amount, changeCents, variance }, g) => {
    let a = 0;
    let b = 0;
    for (let i = 0; i < amount.length; i++) {
      const s = variance[i]! + (cutSd * amount[i]!) ** 2;
      a += amount[i]! ** 2 / s;
      b += (amount[i]! * changeCents[i]!) / s;
      log -= (Math.log(s) + changeCents[i]! ** 2 / s) / 2;
    }
    slope[g] = b / a;
    precision[g] = a;
    log += b ** 2 / a / 2;
  });
  return { slope, precision, log };
}

interface Component {
  /** Logarithm of how likely the changes are, the common slope integrated out. */
  log: number;
  mean: number;
  sd: number;
  cutSd: number;
}

/** Regression with both scatters known: the asked bell's slope. */
function component(
  { slope, precision, log }: OwnLines,
  own: number,
  cutSd: number,
  bellSd: number,
): Component {
  const variance = bellSd ** 2;
  let sum = 0;
  let weighted = 0;
  for (let g = 0; g < slope.length; g++) {
    const w = 1 / (variance + 1 / precision[g]!);
    sum += w;
    weighted += w * slope[g]!;
  }
  const common = weighted / sum;
  let fit = log - Math.log(sum) / 2;
  for (let g = 0; g < slope.length; g++) {
    const w = 1 / (variance + 1 / precision[g]!);
    fit -= (Math.log(1 + precision[g]! * variance) + w * (slope[g]! - common) ** 2) / 2;
  }
  // The bell's own cuts draw its slope away from the common one as far as they are worth.
  const worth = own < 0 ? 0 : variance * precision[own]!;
  const trust = worth / (1 + worth);
  const mean = trust * (own < 0 ? 0 : slope[own]!) + (1 - trust) * common;
  const sd = Math.sqrt(variance / (1 + worth) + (1 - trust) ** 2 / sum);
  return { log: fit, mean, sd, cutSd };
}
