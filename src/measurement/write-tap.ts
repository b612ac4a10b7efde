import { toDigits } from "./digits.ts";
import { readTapMeasurement } from "./read-tap.ts";
import { firstComplaint, resolve, type SchemaNode } from "./schema-check.ts";
import type { TapMeasurement } from "./tap.ts";
import { TAP_SCHEMA } from "./tap-schema.ts";

/** Digits kept of a number without an interval: a microsecond in an hour. */
const PLAIN_DIGITS = 10;
/** Digits kept of the points of a curve: finer than any screen draws. */
const CURVE_DIGITS = 6;
/** Digits kept beyond the leading digit of the half-width. */
const BEYOND_INTERVAL = 3;

const exponentOf = (x: number) => Math.floor(Math.log10(Math.abs(x)));

/** Rounds both numbers three digits beyond the leading digit of the half-width; an exact value stays as it is. */
function roundEstimate({ value, ci95 }: { value: number; ci95: number }) {
  if (ci95 === 0 || value === 0) return { value, ci95: toDigits(ci95, BEYOND_INTERVAL + 1) };
  const digits = exponentOf(value) - exponentOf(ci95) + BEYOND_INTERVAL + 1;
  return { value: toDigits(value, digits), ci95: toDigits(ci95, BEYOND_INTERVAL + 1) };
}

/** The schema of a value: references followed, and of alternatives the one that it fits. */
function schemaOf(node: SchemaNode, value: unknown): SchemaNode {
  const target = resolve(TAP_SCHEMA, node);
  const fits = target.anyOf?.find((option) => firstComplaint(TAP_SCHEMA, option, value, "") === null);
  return fits === undefined ? target : schemaOf(fits, value);
}

function writeObject(entries: [string, string][], indent: string): string {
  if (entries.length === 0) return "{}";
  const lines = entries.map(([key, text]) => `${indent}  ${JSON.stringify(key)}: ${text}`);
  return `{\n${lines.join(",\n")}\n${indent}}`;
}

function writeArray(items: unknown[], texts: string[], indent: string): string {
  const flat = items.every((item) => typeof item !== "object" || item === null);
  if (flat) return `[${texts.join(", ")}]`;
  return `[\n${texts.map((text) => `${indent}  ${text}`).join(",\n")}\n${indent}]`;
}

/** The same data with numbers short enough to read; `digits` for those without an interval. */
function rounded(data: unknown, digits: number): unknown {
  if (typeof data === "number") return toDigits(data, digits);
  if (Array.isArray(data)) return data.map((item) => rounded(item, digits));
  if (typeof data !== "object" || data === null) return data;
  const { value, ci95 } = data as { value?: unknown; ci95?: unknown };
  if (typeof value === "number" && typeof ci95 === "number")
    return { ...data, ...roundEstimate({ value, ci95 }) };
  return Object.fromEntries(
    Object.entries(data).map(([key, item]) => [key, rounded(item, key === "curves" ? CURVE_DIGITS : digits)]),
  );
}

/** Keys in the order of the schema, then those it only counts, sorted; what it does not know is left out. */
function write(node: SchemaNode, value: unknown, indent: string): string {
  const schema = schemaOf(node, value);
  const deeper = `${indent}  `;
  if (Array.isArray(value)) {
    // Curves are lists of thousands of numbers.
    if (value.every((item) => typeof item === "number")) return `[${value.join(", ")}]`;
    const texts = value.map((item) => write(schema.items ?? {}, item, deeper));
    return writeArray(value, texts, indent);
  }
  if (typeof value !== "object" || value === null) return JSON.stringify(value);
  const { properties = {}, additionalProperties } = schema;
  const counted = additionalProperties === undefined ? [] : Object.keys(value).sort();
  // What older builds did not write is not there.
  const known = Object.keys(properties).filter((key) => key in value);
  const entries = [...known, ...counted].map((key): [string, string] => [
    key,
    write(properties[key] ?? additionalProperties ?? {}, (value as Record<string, unknown>)[key], deeper),
  ]);
  return writeObject(entries, indent);
}

/**
 * Writes a measurement as the JSON text of a file: keys in a fixed order, lists of plain values on one line, a newline at
 * the end. An estimate keeps three digits beyond the leading digit of its half-width, a point of a curve six digits,
 * any other number ten; an exact value stays as it is.
 *
 * @throws RangeError naming the field where a number is not finite or the measurement is not whole: a fault of the
 *   program, never of the recording
 */
export function writeTapJson(measurement: TapMeasurement): string {
  let checked: TapMeasurement;
  try {
    checked = readTapMeasurement(measurement);
  } catch (error) {
    throw new RangeError(`measurement cannot be written: ${(error as Error).message}`);
  }
  return `${write(TAP_SCHEMA, rounded(checked, PLAIN_DIGITS), "")}\n`;
}
