import { toDigits } from "../measurement/index.ts";
import type { Comparison } from "./comparison.ts";

/** Digits kept of any number: far below what a measurement tells. */
const DIGITS = 10;

/**
 * The JSON text of a saved comparison, the schema `ringwright.compare/1`, with a newline at the end.
 *
 * @throws RangeError naming the field where a number is not finite: a fault of the program, never of a recording
 */
export function writeCompareJson(comparison: Comparison): string {
  const text = JSON.stringify(
    comparison,
    (key, value: unknown) => {
      if (typeof value !== "number") return value;
      if (!Number.isFinite(value)) throw new RangeError(`comparison cannot be written: ${key} is ${value}`);
      return toDigits(value, DIGITS);
    },
    2,
  );
  return `${text}\n`;
}
