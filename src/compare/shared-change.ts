import type { Estimate } from "../measurement/index.ts";
import { type Change, normalSd, scoreOf } from "./change.ts";
import { chiSquaredTail, normalTail, studentQuantile } from "./distributions.ts";
import { median, SD_TO_CI95 } from "./estimate.ts";
import { threshold } from "./thresholds.ts";

/** How several changes go together. */
export type Kind = "none" | "common" | "some" | "scatter" | "common and scatter";

export interface SharedChange {
  kind: Kind;
  mean: Estimate;
  /** Robust standard deviation about the mean; 0 where the changes agree within their errors. */
  scatter: number;
  /** Indices that left the rest; [] unless the kind is "some". */
  moved: number[];
  statistic: number;
  degreesOfFreedom: number;
  pValue: number;
  pValueOfMean: number;
}

/** Makes the median absolute deviation of normal data its standard deviation. */
const MAD_TO_SD = 1.4826;
/** Tukey's biweight gives no weight beyond this many standard deviations (Mosteller & Tukey 1977, from memory). */
const BIWEIGHT_REACH = 6;
const ROUNDS = 20;

interface Mean {
  value: number;
  sd: number;
}

/**
 * Mean by inverse variance. Where one cause may move all values of a strike alike (temperature, the recorder's clock),
 * more partials do not make it surer: the standard error is then that of fully correlated errors.
 */
function weightedMean(changes: readonly Change[], correlated: boolean): Mean {
  const sds = changes.map(normalSd);
  const weight = sds.reduce((sum, sd) => sum + 1 / sd ** 2, 0);
  const value = changes.reduce((sum, change, i) => sum + change.value / sds[i] ** 2, 0) / weight;
  const sd = correlated ? sds.reduce((sum, each) => sum + 1 / each, 0) / weight : Math.sqrt(1 / weight);
  return { value, sd };
}

const statisticOf = (changes: readonly Change[], about: number): number =>
  changes.reduce((sum, change) => sum + scoreOf(change, about) ** 2, 0);

/** The largest set of changes that share one value: tried about each of them, and settled at the set's own mean. */
function agreeing(changes: readonly Change[], mostScore: number): number[] {
  let best: number[] = [];
  for (const centre of changes) {
    let about = centre.value;
    let set: number[] = [];
    for (let round = 0; round < 3; round++) {
      set = changes.flatMap((change, i) => (scoreOf(change, about) <= mostScore ? [i] : []));
      if (set.length === 0) break;
      about = weightedMean(
        set.map((i) => changes[i]),
        false,
      ).value;
    }
    if (set.length > best.length) best = set;
  }
  return best;
}

/** Score that none of `count` normal values passes, but for a chance of `falseAlarm`. */
function scoreLimit(count: number, falseAlarm: number): number {
  return studentQuantile(falseAlarm / Math.max(1, count), Number.POSITIVE_INFINITY);
}

/** Location and spread of values that scatter far beyond their errors: median, then Tukey's biweight. */
function robustMean(values: readonly number[]): { mean: Estimate; scatter: number } {
  const count = values.length;
  let centre = median(values);
  const scatter =
    MAD_TO_SD * median(values.map((value) => Math.abs(value - centre))) * Math.sqrt(count / (count - 1));
  let weight = count;
  for (let round = 0; round < ROUNDS && scatter > 0; round++) {
    const weights = values.map((value) => {
      const u = (value - centre) / (BIWEIGHT_REACH * scatter);
      return Math.abs(u) < 1 ? (1 - u * u) ** 2 : 0;
    });
    weight = weights.reduce((sum, w) => sum + w, 0);
    centre = values.reduce((sum, value, i) => sum + weights[i] * value, 0) / weight;
  }
  const ci95 = (studentQuantile(0.05, count - 1) * scatter) / Math.sqrt(weight);
  return { mean: { value: centre, ci95 }, scatter };
}

/**
 * Whether changes share one value, and which.
 *
 * 1. Their mean by inverse variance, and the sum of their squared normal scores about it. Where all share one value the
 *    sum is chi-squared on one degree of freedom less than there are changes.
 * 2. Where it is not: the largest set that does share one value. With at most a third outside, and the set passing the
 *    same test, "some" left the others, and the mean is the set's.
 * 3. Else they scatter. The mean is robust, and its interval comes from the scatter.
 *
 * @param changes at least one
 * @param correlated whether the errors of one strike may be common to all (see weightedMean)
 */
export function sharedChange(changes: readonly Change[], correlated: boolean): SharedChange {
  const falseAlarm = threshold("falseAlarm");
  const all = weightedMean(changes, correlated);
  const statistic = statisticOf(changes, all.value);
  const degreesOfFreedom = changes.length - 1;
  const pValue = degreesOfFreedom === 0 ? 1 : chiSquaredTail(statistic, degreesOfFreedom);
  const tests = { statistic, degreesOfFreedom, pValue };
  const told = ({ value, sd }: Mean) => {
    const pValueOfMean = normalTail(value / sd);
    return { mean: { value, ci95: SD_TO_CI95 * sd }, pValueOfMean, stands: pValueOfMean < falseAlarm };
  };
  if (pValue >= falseAlarm) {
    const { stands, ...mean } = told(all);
    return { kind: stands ? "common" : "none", ...mean, scatter: 0, moved: [], ...tests };
  }
  const set = agreeing(changes, scoreLimit(changes.length, falseAlarm));
  const kept = set.map((i) => changes[i]);
  const moved = changes.flatMap((_, i) => (set.includes(i) ? [] : [i]));
  if (moved.length > 0 && moved.length <= threshold("fewMoved") * changes.length) {
    const own = weightedMean(kept, correlated);
    const agrees = chiSquaredTail(statisticOf(kept, own.value), Math.max(1, kept.length - 1)) >= falseAlarm;
    if (agrees) {
      const { stands: _, ...mean } = told(own);
      return { kind: "some", ...mean, scatter: 0, moved, ...tests };
    }
  }
  const { mean, scatter } = robustMean(changes.map(({ value }) => value));
  const widened = { value: mean.value, ci95: Math.max(mean.ci95, SD_TO_CI95 * all.sd) };
  const { pValueOfMean, stands } = told({ value: widened.value, sd: widened.ci95 / SD_TO_CI95 });
  const mainly = stands && Math.abs(mean.value) >= threshold("mainlyCommon") * scatter;
  return {
    kind: mainly ? "common and scatter" : "scatter",
    mean: widened,
    scatter,
    moved: [],
    ...tests,
    pValueOfMean,
  };
}
