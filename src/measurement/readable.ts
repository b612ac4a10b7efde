import { formatEstimate } from "./format.ts";
import type { Estimate } from "./tap.ts";

/** What an estimate is of, as far as that decides how finely it is shown. */
export type Quantity =
  /** Hertz, of a line, a split, or beats a second. */
  | "frequency"
  | "cents"
  /** Seconds, of a decay or from beat to beat. */
  | "time"
  /** Decibels. */
  | "level"
  /** Of two frequencies. */
  | "interval"
  /** Q, loss factor. */
  | "damping"
  /** How many times as long, as bright, as lossy one sound is as another. */
  | "times"
  | "percent"
  /** Radians. */
  | "phase"
  /** Told by the user or reckoned from what was: shown as surely as it is known. */
  | "other";

/**
 * Finest half-width shown of each: absolute, and as a part of the value. Under these lies what no ear hears, no lathe cuts,
 * no recorder's clock holds (a crystal is good to some 50 parts in a million, 0.1 cents: common practice, no source), and by
 * which one casting, hung or struck a little otherwise, differs from itself. JSON keeps more.
 */
const FINEST: Record<Quantity, { absolute: number; relative: number }> = {
  frequency: { absolute: 0.001, relative: 0 },
  cents: { absolute: 0.1, relative: 0 },
  time: { absolute: 0.001, relative: 0.001 },
  level: { absolute: 0.1, relative: 0 },
  // 0.1 cents are 0.00006 of a ratio.
  interval: { absolute: 0, relative: 0.0001 },
  damping: { absolute: 0, relative: 0.001 },
  times: { absolute: 0, relative: 0.01 },
  phase: { absolute: 0.001, relative: 0 },
  percent: { absolute: 0.001, relative: 0 },
  other: { absolute: 0, relative: 0 },
};

/**
 * The same estimate with an interval no narrower than matters, in sentences, tables and charts alike: a wider interval is still
 * true, and nobody reads thousandths of a cent. An exact value (interval 0) stays exact.
 */
export function readable({ value, ci95 }: Estimate, quantity: Quantity): Estimate {
  const { absolute, relative } = FINEST[quantity];
  return { value, ci95: ci95 === 0 ? 0 : Math.max(ci95, absolute, relative * Math.abs(value)) };
}

const OF_UNIT: Record<string, Quantity> = {
  Hz: "frequency",
  "beats a second": "frequency",
  cents: "cents",
  s: "time",
  dB: "level",
  "%": "percent",
};

/** What is given in this unit; "other" where the unit does not tell. */
export const quantityOf = (unit: string): Quantity => OF_UNIT[unit] ?? "other";

/**
 * An estimate as it is shown wherever a person reads it: no finer than matters, and rounded by its interval. The one rule of every
 * sentence, table and chart.
 *
 * @param unit written behind, "" for none
 * @param quantity what it is of, where the unit does not say so
 * @throws RangeError as {@link formatEstimate}
 */
export function showEstimate(
  estimate: Estimate,
  unit: string,
  quantity: Quantity = quantityOf(unit),
): string {
  return formatEstimate(readable(estimate, quantity), unit);
}

/** Hertz of a line without an interval, to find it by: four digits; said with "near" or "about". */
export const nearHz = (frequencyHz: number): string => `${Number(frequencyHz.toPrecision(4))}`;
