import { type Estimate, formatEstimate } from "../measurement/index.ts";

/** What stands where nothing was measured. */
export const NOT_MEASURED = "\u2013";

const typographic = (text: string) => text.replace(/-/g, "\u2212");

/** A number that carries no interval (a setting, a count, a time of the recording), or the dash for null. */
export function plainNumber(value: number | null, decimals: number): string {
  return value === null ? NOT_MEASURED : typographic(value.toFixed(decimals));
}

/** An estimate as text, e.g. "440.120 ± 0.034 Hz"; the dash for null. The spaces do not break. */
export function estimateText(estimate: Estimate | null, unit = ""): string {
  if (estimate === null) return NOT_MEASURED;
  const number = typographic(formatEstimate(estimate, "")).replace(/ /g, "\u00a0");
  return unit === "" ? number : `${number}\u00a0${unit}`;
}

/** As {@link estimateText}, a positive value with its sign, for deviations. */
export function signedEstimateText(estimate: Estimate | null, unit = ""): string {
  const text = estimateText(estimate, unit);
  return estimate !== null && estimate.value > 0 ? text.replace(/^(\(?)(?=[\d.])/, "$1+") : text;
}

/**
 * The same estimate with an interval no narrower than `leastCi95`: a wider interval is still true, and a reader of a
 * summary has no use for thousandths of a cent. An exact value (interval 0) stays exact.
 */
export function noFiner(estimate: Estimate, leastCi95: number): Estimate {
  const { value, ci95 } = estimate;
  return { value, ci95: ci95 === 0 ? 0 : Math.max(ci95, leastCi95) };
}

/** Finest interval of a deviation in summaries and charts, cents: far below what can be heard or cut. */
export const FINEST_CENTS = 0.1;
/** Finest interval of a frequency in the one sentence and on a terminal, Hz. */
export const FINEST_HZ = 0.001;
/** Finest interval of a decay time, s and relative: one casting, hung or struck a little otherwise, differs by more. */
const FINEST_S = 0.001;
const FINEST_DECAY_RELATIVE = 0.001;
/** Finest interval of a level in a table, dB. */
export const FINEST_DB = 0.01;
/** Finest interval of a ratio in a table: a sixtieth of a cent. */
export const FINEST_RATIO = 1e-5;

/** A decay time, no finer than matters; the dash for null. */
export function decayText(seconds: Estimate | null, unit = ""): string {
  return estimateText(seconds === null ? null : decayNoFiner(seconds), unit);
}

/** {@link noFiner} for a decay time in seconds. */
export function decayNoFiner(seconds: Estimate): Estimate {
  return noFiner(seconds, Math.max(FINEST_S, FINEST_DECAY_RELATIVE * Math.abs(seconds.value)));
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
