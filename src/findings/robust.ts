import type { Estimate } from "../measurement/index.ts";

/** Makes the median absolute deviation of normal data its standard deviation: 1 / 0.6745. */
const MAD_TO_SD = 1.4826;
/** Standard error of the median over that of the mean, normal data: sqrt(pi / 2). */
const MEDIAN_TO_MEAN_ERROR = Math.sqrt(Math.PI / 2);
/** Half-width of a 95 % interval in standard deviations, normal data. */
export const SD_TO_CI95 = 1.96;

/** Middle value, the mean of the two middle ones for an even count; null for an empty list. */
export function median(values: readonly number[]): number | null {
  if (values.length === 0) return null;
  const sorted = [...values].sort((a, b) => a - b);
  const high = sorted[sorted.length >> 1]!;
  const low = sorted[(sorted.length - 1) >> 1]!;
  return (low + high) / 2;
}

export interface RobustLine {
  slope: number;
  intercept: number;
  /** Robust standard deviation of y about the line. */
  scale: number;
}

/**
 * Straight line through points of which some may be far off: the median of the slopes between all pairs, then the
 * median of what is left (Theil 1950; Sen, J. Am. Stat. Assoc. 63 (1968) 1379-1389; from memory). It bears up to 29 %
 * of outliers. `scale` is 1.4826 times the median absolute deviation, widened by sqrt(n / (n - 2)) for the two
 * parameters taken from the same points.
 *
 * @returns null with fewer than three points or without two different x
 */
export function robustLine(x: readonly number[], y: readonly number[]): RobustLine | null {
  const count = x.length;
  const slopes: number[] = [];
  for (let i = 0; i < count; i++) {
    for (let j = i + 1; j < count; j++) {
      if (x[i] !== x[j]) slopes.push((y[j]! - y[i]!) / (x[j]! - x[i]!));
    }
  }
  const slope = median(slopes);
  if (slope === null || count < 3) return null;
  const { intercept, deviations } = about(x, y, slope);
  return { slope, intercept, scale: scaleOf(deviations, count) };
}

/**
 * The straight line of a given slope: the median of what is left. `scale` is by the points below the line alone, where that
 * is less: losses are outlying upwards only, so the lower half tells the scatter of the sound ones.
 *
 * @returns null with fewer than three points
 */
export function lineOfSlope(x: readonly number[], y: readonly number[], slope: number): RobustLine | null {
  if (x.length < 3) return null;
  const { intercept, deviations } = about(x, y, slope);
  const below = deviations.filter((d) => d <= 0);
  return { slope, intercept, scale: Math.min(scaleOf(deviations, x.length), scaleOf(below, x.length)) };
}

/** The median of what a slope leaves, and how far each point lies over it. */
function about(x: readonly number[], y: readonly number[], slope: number) {
  const rest = y.map((value, i) => value - slope * x[i]!);
  const intercept = median(rest)!;
  return { intercept, deviations: rest.map((value) => value - intercept) };
}

function scaleOf(deviations: readonly number[], count: number): number {
  return MAD_TO_SD * median(deviations.map(Math.abs))! * Math.sqrt(count / (count - 2));
}

/**
 * Median of several estimates. Its half-width is that of the median of the scattered values, or the median of their own
 * half-widths where that is wider. null for an empty list.
 */
export function medianEstimate(estimates: readonly Estimate[]): Estimate | null {
  const value = median(estimates.map((e) => e.value));
  const own = median(estimates.map((e) => e.ci95));
  if (value === null || own === null) return null;
  const deviation = median(estimates.map((e) => Math.abs(e.value - value)))!;
  const error = (MEDIAN_TO_MEAN_ERROR * MAD_TO_SD * deviation) / Math.sqrt(estimates.length);
  return { value, ci95: Math.max(SD_TO_CI95 * error, own) };
}
