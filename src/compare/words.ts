import { type Estimate, formatEstimate } from "../measurement/index.ts";
import type { Pair } from "./comparison.ts";

/** Finest interval of a shift in a sentence, cents: far below what can be heard or cut. */
const FINEST_CENTS = 0.1;
const FINEST_RATIO = 0.01;

/** The same estimate with an interval no narrower than `least`: still true, and readable. An exact value stays exact. */
export function noFiner({ value, ci95 }: Estimate, least: number): Estimate {
  return { value, ci95: ci95 === 0 ? 0 : Math.max(ci95, least) };
}

export const centsText = (cents: Estimate): string => formatEstimate(noFiner(cents, FINEST_CENTS), "cents");
export const ratioText = (of: Estimate): string => formatEstimate(noFiner(of, FINEST_RATIO), "");

/** "38.0 ± 0.3 cents higher". */
export function shiftWords(cents: Estimate): string {
  const size = centsText({ value: Math.abs(cents.value), ci95: cents.ci95 });
  return `${size} ${cents.value < 0 ? "lower" : "higher"}`;
}

/** "2.10 ± 0.05 times as long as". */
export const timesAsLong = (of: Estimate): string => `${ratioText(of)} times as long as`;

/** "a", "a and b", "a, b and c". */
export function listWords(items: readonly string[]): string {
  return items.length < 2 ? items.join("") : `${items.slice(0, -1).join(", ")} and ${items.at(-1)}`;
}

/** "1 partial", "3 partials". */
export const countWords = (count: number, noun: string): string =>
  `${count} ${noun}${count === 1 ? "" : "s"}`;

const SMALL_NUMBERS = ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"];

/** "five" up to ten, figures beyond. */
export const numberWord = (count: number): string => SMALL_NUMBERS[count] ?? `${count}`;

/** A probability as a sentence takes it: "p = 0.034", "p < 0.001". */
export const probabilityWords = (p: number): string => (p < 0.001 ? "p < 0.001" : `p = ${p.toPrecision(2)}`);

/** "the tierce", "the partial near 1391 Hz". */
export const theName = (pair: Pair): string => `the ${pair.name}`;

/** An estimate in a table cell; the column's head carries the unit. */
export const cell = (estimate: Estimate | null): string | null =>
  estimate === null ? null : formatEstimate(estimate, "");

/** First letter in upper case. */
export const sentence = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** A relative standard deviation as "7 %". */
export const percentText = (part: number): string => `${Number((100 * part).toPrecision(2))} %`;

/** A number without an interval, to three digits. */
export const digits = (value: number): number => Number(value.toPrecision(3));
