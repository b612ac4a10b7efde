import { type Estimate, type Quantity, showEstimate, type TapPartial } from "../measurement/index.ts";
import { threshold } from "./thresholds.ts";

/** Said wherever advice may bring a person closer to a struck bell, or make them strike harder. */
export const HEARING_CAUTION =
  "Wear hearing protection close to a struck bell (NIOSH recommends at most 85 dB(A) over 8 hours, and half the time for every 3 dB more; local rules may ask for less).";

/** A name that is sure enough to be used, or null. */
export function sureName(partial: TapPartial): string | null {
  const sure = (partial.nameConfidence ?? 0) >= threshold("nameConfidence");
  return sure ? partial.name : null;
}

/** Up to this ratio the partials of a bell are few and are those that it is known by. */
const HIGHEST_PRINCIPAL = 2;

/** Whether it is surely one of the bell's first partials, up to the nominal. */
export function isPrincipal(partial: TapPartial): boolean {
  return sureName(partial) !== null && (partial.idealRatio ?? Infinity) <= HIGHEST_PRINCIPAL;
}

/** Number of nodal meridians where it can be relied on, or null. */
export function sureMeridians(partial: TapPartial): number | null {
  const doubtful = partial.name !== null && sureName(partial) === null;
  return doubtful ? null : partial.nodalMeridians;
}

/** The partial in a sentence: "the tierce", or "the partial at 1391.60 ± 0.04 Hz". */
export function partialWords(partial: TapPartial): string {
  const name = sureName(partial);
  return name === null ? `the partial at ${showEstimate(partial.frequencyHz, "Hz")}` : `the ${name}`;
}

/** The partial in the first column of a table; a doubtful name carries a question mark. */
export function partialCell(partial: TapPartial): string {
  if (partial.name === null) return "unnamed";
  return sureName(partial) === null ? `${partial.name}?` : partial.name;
}

/** An estimate in a table cell, no finer than matters for what it is of; the column's head carries the unit. */
export function cell(estimate: Estimate | null, quantity: Quantity): string | null {
  return estimate === null ? null : showEstimate(estimate, "", quantity);
}

/** How far from a note or a ratio: "18.9 ± 0.4 cents flat", or "0.2 ± 0.5 cents off" where the sign is open. */
export function offsetWords(cents: Estimate): string {
  const amount = showEstimate({ value: Math.abs(cents.value), ci95: cents.ci95 }, "cents");
  const direction = Math.abs(cents.value) <= cents.ci95 ? "off" : cents.value < 0 ? "flat" : "sharp";
  return `${amount} ${direction}`;
}

/** "a", "a and b", "a, b and c". */
export function listWords(items: readonly string[]): string {
  if (items.length < 2) return items.join("");
  return `${items.slice(0, -1).join(", ")} and ${items[items.length - 1]}`;
}

/** "1 partial", "3 partials". */
export function countWords(count: number, noun: string): string {
  return `${count} ${noun}${count === 1 ? "" : "s"}`;
}

/** "the strike" of one, "2 of 3 strikes" of more. */
export function shareWords(count: number, total: number, noun: string): string {
  return total === 1 ? `the ${noun}` : `${count} of ${total} ${noun}s`;
}

/** First letter in upper case. */
export function sentence(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** The number times a constant, its interval with it. */
export function scaled(estimate: Estimate, factor: number): Estimate {
  return { value: estimate.value * factor, ci95: Math.abs(estimate.ci95 * factor) };
}
