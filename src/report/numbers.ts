import {
  type Estimate,
  type Evidence,
  type Quantity,
  quantityOf,
  showEstimate,
} from "../measurement/index.ts";

/** What stands where nothing was measured. */
export const NOT_MEASURED = "\u2013";

const typographic = (text: string) => text.replace(/-/g, "\u2212");

/** A number that carries no interval (a setting, a count, a time of the recording), or the dash for null. */
export function plainNumber(value: number | null, decimals: number): string {
  return value === null ? NOT_MEASURED : typographic(value.toFixed(decimals));
}

/** A spread or another number that is known to a few per cent at best, to two significant digits, or the dash for null. */
export function twoDigits(value: number | null): string {
  const estimate = value === null ? null : { value: Number(value.toPrecision(2)), ci95: 0 };
  return estimateText(estimate, "other");
}

/**
 * An estimate as text, no finer than matters for what it is of, e.g. "440.120 ± 0.034 Hz"; the dash for null. The spaces do not
 * break.
 */
export function estimateText(estimate: Estimate | null, quantity: Quantity, unit = ""): string {
  if (estimate === null) return NOT_MEASURED;
  const number = typographic(showEstimate(estimate, "", quantity)).replace(/ /g, "\u00a0");
  return unit === "" ? number : `${number}\u00a0${unit}`;
}

/** As {@link estimateText}, what is more than nothing with its sign, for deviations. */
export function signedEstimateText(estimate: Estimate | null, quantity: Quantity, unit = ""): string {
  const text = estimateText(estimate, quantity, unit);
  return /^\(?[\d.]*[1-9]/.test(text) ? text.replace(/^\(?/, "$&+") : text;
}

/** A number that carries no interval is a count, a setting or a share: four digits say all that it can. */
export const shownNumber = (value: number): string =>
  typographic(`${Number.isInteger(value) ? value : Number(value.toPrecision(4))}`);

/** A number of a finding's evidence with its unit. */
export function evidenceText({ value, ci95, unit }: Extract<Evidence, { kind: "number" }>): string {
  if (ci95 === null) return `${shownNumber(value)}\u00a0${unit}`.trim();
  return estimateText({ value, ci95 }, quantityOf(unit), unit);
}

/** A sentence in which no line ends between a number, its interval and its unit. */
export function keepTogether(text: string): string {
  return text
    .replace(/(?<=\d) \u00b1 (?=\d)/g, "\u00a0\u00b1\u00a0")
    .replace(/(?<=\)) \u00d7 (?=10)/g, "\u00a0\u00d7\u00a0")
    .replace(/(?<=[\d)]) (?=(?:Hz|kHz|s|ms|dB|cents?|kg|g|lb|oz|mm|%|K|\u00b0C)(?![\p{L}\d]))/gu, "\u00a0");
}

/** "1 partial", "3 partials". */
export const countOf = (n: number, one: string, many = `${one}s`): string => `${n} ${n === 1 ? one : many}`;

/** Words in a row: "a", "a and b", "a, b and c". */
export function listOf(words: string[]): string {
  return words.length < 2 ? (words[0] ?? "") : `${words.slice(0, -1).join(", ")} and ${words.at(-1)}`;
}

/** Rounds to significant digits, to keep the embedded numbers of a chart short. */
export const shorten = (value: number, digits = 5): number => Number(value.toPrecision(digits));

/** Levels of a drawn curve to a tenth of a decibel: no screen shows more, and a report holds many thousands. */
export const shortLevel = (levelDb: number): number => Math.round(levelDb * 10) / 10;
