import { type Estimate, type Quantity, showEstimate } from "../measurement/index.ts";
import type { Pair } from "./comparison.ts";

export const centsText = (cents: Estimate): string => showEstimate(cents, "cents");
export const ratioText = (of: Estimate): string => showEstimate(of, "", "times");

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

/** An estimate in a table cell, no finer than matters for what it is of; the column's head carries the unit. */
export const cell = (estimate: Estimate | null, quantity: Quantity): string | null =>
  estimate === null ? null : showEstimate(estimate, "", quantity);

/** First letter in upper case. */
export const sentence = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** A relative standard deviation as "7 %". */
export const percentText = (part: number): string => `${Number((100 * part).toPrecision(2))} %`;

/** The ends of a range, to two digits. */
export const twoDigits = (value: number): number => Number(value.toPrecision(2));

/** A number without an interval, to three digits. */
export const digits = (value: number): number => Number(value.toPrecision(3));
