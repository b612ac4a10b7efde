import type { Estimate, TapPartial } from "../../measurement/index.ts";
import { lineOfSlope, medianEstimate, robustLine, SD_TO_CI95 } from "../robust.ts";
import { threshold } from "../thresholds.ts";
import { isPrincipal } from "../words.ts";

export interface LossJudgement {
  /** Partials whose loss factor is known well enough, as indices. */
  judged: number[];
  /** How many votes they have in the trend: there is one from trendPartials on. */
  votes: number;
  /** Q that the bell's own trend leads one to expect, per partial; null where there is no trend. */
  expectedQ: (Estimate | null)[];
  /** Partials that lose far more than the trend allows, as indices. */
  outliers: number[];
  /** Whether they speak against the casting: one of them is among the bell's first, or they are several and many. */
  areSign: boolean;
  /** Median loss factor of the judged partials. */
  median: Estimate | null;
  /** The whole bell is damped. */
  damped: boolean;
}

/**
 * Judges the damping of each partial by the bell's own trend: the logarithm of the loss factor over the logarithm of
 * the frequency, a robust line that never falls steeper than damped low partials alone could make it. Lines close together
 * have one vote in it. An outlier has its loss factor, less its 95 % half-width, over the line by a factor of five and by
 * 3.5 robust standard deviations (thresholds.json). A bell that is damped all over has no outlier; its median tells.
 */
export function judgeLosses(partials: readonly TapPartial[]): LossJudgement {
  const judged = partials.flatMap((p, i) =>
    p.lossFactor.value > 0 && p.lossFactor.ci95 <= threshold("lossCi95") * p.lossFactor.value ? [i] : [],
  );
  const known = judged.map((i) => partials[i]!);
  const votes = votesOf(known);
  const x = votes.map((vote) => vote.x);
  const y = votes.map((vote) => vote.y);
  let line = votes.length < threshold("trendPartials") ? null : robustLine(x, y);
  if (line !== null && line.slope < threshold("slopeLeast")) {
    line = lineOfSlope(x, y, threshold("slopeLeast"));
  }
  const expectedQ = partials.map((p) => {
    if (line === null) return null;
    const value = Math.exp(-(line.intercept + line.slope * Math.log(p.frequencyHz.value)));
    return { value, ci95: value * SD_TO_CI95 * line.scale };
  });
  const allowed = Math.max(
    threshold("lossOutlierRatio"),
    line === null ? 0 : Math.exp(threshold("lossOutlierScale") * line.scale),
  );
  const outliers = judged.filter((i) => {
    const { value, ci95 } = partials[i]!.lossFactor;
    const expected = expectedQ[i];
    return expected !== null && expected !== undefined && (value - ci95) * expected.value > allowed;
  });
  const median = medianEstimate(known.map((p) => p.lossFactor));
  const damped = median !== null && median.value - median.ci95 > threshold("dampedLossFactor");
  // Among dozens of partials of a sound bell single ones are damped; a crack damps every one that bends it.
  const areSign =
    outliers.some((i) => isPrincipal(partials[i]!)) ||
    (outliers.length > 1 && outliers.length >= threshold("lossOutlierShare") * judged.length);
  return { judged, votes: votes.length, expectedQ, outliers, areSign, median, damped };
}

/**
 * Logarithms of frequency and loss factor. Lines within `voteWithin` of the one before are one vote, their mean: a crack
 * splits what it damps so far that it counts as two partials, and would outvote the sound ones.
 */
function votesOf(partials: readonly TapPartial[]): { x: number; y: number }[] {
  const groups: TapPartial[][] = [];
  for (const p of [...partials].sort((a, b) => a.frequencyHz.value - b.frequencyHz.value)) {
    const before = groups.at(-1)?.at(-1);
    const isNear =
      before !== undefined &&
      p.frequencyHz.value - before.frequencyHz.value < threshold("voteWithin") * before.frequencyHz.value;
    if (isNear) groups.at(-1)!.push(p);
    else groups.push([p]);
  }
  const mean = (group: TapPartial[], of: (p: TapPartial) => number) =>
    group.reduce((sum, p) => sum + Math.log(of(p)), 0) / group.length;
  return groups.map((group) => ({
    x: mean(group, (p) => p.frequencyHz.value),
    y: mean(group, (p) => p.lossFactor.value),
  }));
}
