import type { Estimate } from "./tap.ts";

/** An estimate as two strings rounded at the same digit; `ci95` is null where the value is exact. */
export interface EstimateText {
  value: string;
  ci95: string | null;
  /** Common power of ten taken out of both, or 0. */
  powerOfTen: number;
}

/** Double precision holds no more decimal digits than this in a value worth reading. */
const MAX_SIGNIFICANT_DIGITS = 10;
/** Beyond these sizes a common power of ten reads better than a row of zeros. */
const SMALLEST_PLAIN = 1e-3;
const LARGEST_PLAIN = 1e7;

/** Power of ten of the leading digit, after rounding to `digits` significant digits. */
function exponentOf(x: number, digits: number): number {
  const text = x.toExponential(digits - 1);
  return Number(text.slice(text.indexOf("e") + 1));
}

/** `x` written to the digit 10^`place`; never "-0". */
function writeTo(x: number, place: number): string {
  const step = 10 ** Math.max(place, 0);
  const text = (Math.round(x / step) * step).toFixed(0);
  const written = place >= 0 ? text : x.toFixed(-place);
  return Number(written) === 0 ? written.replace("-", "") : written;
}

/**
 * Rounds an estimate for reading: two significant digits of the 95 % half-width, the value to the same digit
 * (the practice of JCGM 100:2008, GUM, 7.2.6). Parts for tables whose head carries the unit.
 *
 * - An interval of 0 marks a value that is exact by definition: the value alone, `ci95` null.
 * - An interval below the tenth digit of the value is shown as one unit of that digit, never as 0.
 * - Sizes below 0.001 and from 1e7 on share one power of ten.
 *
 * @throws RangeError when a number is not finite or the half-width is negative.
 */
export function formatEstimateParts(estimate: Estimate): EstimateText {
  const { value, ci95 } = estimate;
  if (!Number.isFinite(value) || !Number.isFinite(ci95) || ci95 < 0) {
    throw new RangeError(`estimate ${value} ± ${ci95} is not a finite value with a half-width of 0 or more`);
  }
  const size = Math.max(Math.abs(value), ci95);
  const plain = size === 0 || (size >= SMALLEST_PLAIN && size < LARGEST_PLAIN);
  const powerOfTen = plain ? 0 : exponentOf(size, 2);
  const scaledValue = plain ? value : value / 10 ** powerOfTen;
  if (ci95 === 0) return { value: String(Number(scaledValue.toPrecision(6))), ci95: null, powerOfTen };
  const scaledCi95 = plain ? ci95 : ci95 / 10 ** powerOfTen;
  const finest =
    value === 0
      ? Number.NEGATIVE_INFINITY
      : exponentOf(Math.abs(scaledValue), 2) - MAX_SIGNIFICANT_DIGITS + 1;
  const place = Math.max(exponentOf(scaledCi95, 2) - 1, finest);
  // Where the cap holds, the half-width is not shown smaller than one unit of the last digit.
  return {
    value: writeTo(scaledValue, place),
    ci95: writeTo(Math.max(scaledCi95, 10 ** place), place),
    powerOfTen,
  };
}

const SUPERSCRIPTS: Record<string, string> = {
  "-": "\u207b",
  "0": "\u2070",
  "1": "\u00b9",
  "2": "\u00b2",
  "3": "\u00b3",
  "4": "\u2074",
  "5": "\u2075",
  "6": "\u2076",
  "7": "\u2077",
  "8": "\u2078",
  "9": "\u2079",
};

/**
 * An estimate as one piece of text, e.g. "440.120 ± 0.034 Hz", "12300 ± 1200 Hz", "(1.440 ± 0.030) × 10⁻⁴".
 *
 * @param unit unit to write behind, "" for none
 * @throws RangeError as {@link formatEstimateParts}
 */
export function formatEstimate(estimate: Estimate, unit: string): string {
  const { value, ci95, powerOfTen } = formatEstimateParts(estimate);
  const tail = unit === "" ? "" : ` ${unit}`;
  const both = ci95 === null ? value : `${value} \u00b1 ${ci95}`;
  if (powerOfTen === 0) return both + tail;
  const power = [...String(powerOfTen)].map((digit) => SUPERSCRIPTS[digit]).join("");
  return `${ci95 === null ? both : `(${both})`} \u00d7 10${power}${tail}`;
}
