import type { BellTruth } from "./bell.ts";
import { type Bound, gapInLinewidths, seeable } from "./crb.ts";
import { linewidthHz } from "./modes.ts";

/** What an estimator says of one mode. */
export interface ModeEstimate {
  frequencyHz: number;
  frequencySdHz: number;
  decayRatePerS: number;
  decayRateSdPerS: number;
  /** Per channel, full scale = 1, at the first contact. */
  amplitude: ArrayLike<number>;
  /** Matched-filter SNR as the estimator sees it. */
  rho: number;
}

/** One true mode beside its estimate. Errors are estimate minus truth. */
export interface MatchedMode {
  mode: number;
  estimate: number;
  seeable: boolean;
  rho: number;
  /** Distance to the nearest true mode in linewidths, the wider of the two. */
  gapLinewidths: number;
  frequencyErrorOverBound: number;
  decayErrorOverBound: number;
  /** Of ln A in the strongest channel; null where the level is not that of the modes. */
  levelErrorOverBound: number | null;
  frequencyErrorLinewidths: number;
  /** Over the decay rate. */
  decayErrorRelative: number;
  /** The estimate's own 95 % interval, 1.96 sd, holds the truth. */
  frequencyCovered: boolean;
  decayCovered: boolean;
}

export interface BellScore {
  matched: MatchedMode[];
  /** Indices of seeable true modes without an estimate. */
  missed: number[];
  seeableCount: number;
  /** Indices of estimates that no true mode accounts for. */
  invented: number[];
}

/** Half-width of the 95 % interval over the standard deviation. */
const NORMAL_95 = 1.959964;

/**
 * Sets estimates beside true modes; reach = linewidth + 1/record length.
 * 1. The assignment that is best in frequency, one to one, |difference| within max(5 standard deviations of the bound,
 *    half a linewidth), at most 2 reaches.
 * 2. Estimates left over may still be a bad estimate of a true mode left over, within 3 reaches; these pairs are
 *    neither scored nor invented, and the mode stays missed.
 * 3. What is then left is invented: a second pole on a mode that has its estimate is, too.
 */
export function scoreBell(truth: BellTruth, bound: Bound, estimates: ModeEstimate[]): BellScore {
  const bounds = bound.modes;
  const trueHz = truth.modes.map((mode) => mode.frequencyHz);
  const estimatedHz = estimates.map((estimate) => estimate.frequencyHz);
  const width = truth.modes.map(linewidthHz);
  const recordHz = truth.sampleRateHz / (truth.sampleCount - bound.startSample);
  const reach = width.map((w) => w + recordHz);
  const close = width.map((w, i) => Math.min(Math.max(5 * bounds[i].frequencySdHz, 0.5 * w), 2 * reach[i]));
  const pairs = assign(trueHz, close, estimatedHz);

  const freeModes = trueHz.map((_, i) => i).filter((i) => !pairs.some(([mode]) => mode === i));
  const freeEstimates = estimates.map((_, j) => j).filter((j) => !pairs.some(([, e]) => e === j));
  const excused = assign(
    freeModes.map((i) => trueHz[i]),
    freeModes.map((i) => 3 * reach[i]),
    freeEstimates.map((j) => estimatedHz[j]),
  ).map(([, k]) => freeEstimates[k]);

  const matched = pairs.map(([i, j]): MatchedMode => {
    const mode = truth.modes[i];
    const estimate = estimates[j];
    const fError = estimate.frequencyHz - mode.frequencyHz;
    const aError = estimate.decayRatePerS - mode.decayRatePerS;
    const strongest = mode.amplitude.indexOf(Math.max(...mode.amplitude));
    const levelError = Math.log(estimate.amplitude[strongest] / mode.amplitude[strongest]);
    return {
      mode: i,
      estimate: j,
      seeable: seeable(bounds[i]),
      rho: bounds[i].rho,
      gapLinewidths: gapInLinewidths(truth.modes, i),
      frequencyErrorOverBound: fError / bounds[i].frequencySdHz,
      decayErrorOverBound: aError / bounds[i].decayRateSdPerS,
      levelErrorOverBound: truth.levelIsTrue ? levelError / bounds[i].amplitudeRelSd : null,
      frequencyErrorLinewidths: fError / width[i],
      decayErrorRelative: aError / mode.decayRatePerS,
      frequencyCovered: Math.abs(fError) <= NORMAL_95 * estimate.frequencySdHz,
      decayCovered: Math.abs(aError) <= NORMAL_95 * estimate.decayRateSdPerS,
    };
  });
  const expected = bounds.map((_, i) => i).filter((i) => seeable(bounds[i]));
  return {
    matched,
    missed: expected.filter((i) => !pairs.some(([mode]) => mode === i)),
    seeableCount: expected.length,
    invented: freeEstimates.filter((j) => !excused.includes(j)),
  };
}

/**
 * Pairs (index of true, index of estimated) of least total cost (difference/window)^2, an unpaired item costing 1: the
 * best one-to-one assignment that keeps the order in frequency, by dynamic programming over both lists in order.
 */
function assign(trueHz: number[], window: number[], estimatedHz: number[]): [number, number][] {
  const rows = sortedIndices(trueHz);
  const columns = sortedIndices(estimatedHz);
  const stride = columns.length + 1;
  const cost = new Float64Array((rows.length + 1) * stride);
  const pairCost = (r: number, c: number): number => {
    const z = (estimatedHz[columns[c]] - trueHz[rows[r]]) / window[rows[r]];
    return Math.abs(z) <= 1 ? z * z : Number.POSITIVE_INFINITY;
  };
  for (let c = 0; c <= columns.length; c++) cost[c] = c;
  for (let r = 0; r < rows.length; r++) {
    cost[(r + 1) * stride] = r + 1;
    for (let c = 0; c < columns.length; c++) {
      cost[(r + 1) * stride + c + 1] = Math.min(
        cost[r * stride + c + 1] + 1,
        cost[(r + 1) * stride + c] + 1,
        cost[r * stride + c] + pairCost(r, c),
      );
    }
  }
  const pairs: [number, number][] = [];
  let r = rows.length;
  let c = columns.length;
  while (r > 0 && c > 0) {
    const here = cost[r * stride + c];
    if (here === cost[(r - 1) * stride + c - 1] + pairCost(r - 1, c - 1)) {
      r--;
      c--;
      pairs.push([rows[r], columns[c]]);
    } else if (here === cost[(r - 1) * stride + c] + 1) r--;
    else c--;
  }
  return pairs.reverse();
}

function sortedIndices(values: number[]): number[] {
  return values.map((_, i) => i).sort((a, b) => values[a] - values[b]);
}
