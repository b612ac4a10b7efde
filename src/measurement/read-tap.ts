import { migrateTo, TAP_MIGRATIONS } from "./migrate.ts";
import { beyondReason } from "./reason.ts";
import { brokenReference } from "./references.ts";
import { describe, firstComplaint } from "./schema-check.ts";
import type { TapMeasurement } from "./tap.ts";
import { TAP_SCHEMA, TAP_VERSION } from "./tap-schema.ts";

/** A saved measurement that cannot be used; the message is one sentence for the user. */
export class MeasurementError extends Error {
  override name = "MeasurementError";
}

const FAMILY = /^ringwright\.tap\/(\d+)$/;

const mend = "measure the recording again to have a whole file";

function currentVersion(json: unknown): Record<string, unknown> {
  if (typeof json !== "object" || json === null || Array.isArray(json)) {
    throw new MeasurementError(
      `this is not a saved measurement: it is ${describe(json)} where an object is expected; save one with "ringwright tap --json FILE"`,
    );
  }
  const { schema } = json as { schema?: unknown };
  const number = typeof schema === "string" ? FAMILY.exec(schema)?.[1] : undefined;
  if (number === undefined) {
    throw new MeasurementError(
      `this is not a saved measurement of one bell: schema is ${describe(schema)} where "${TAP_VERSION}" is expected; save one with "ringwright tap --json FILE"`,
    );
  }
  const current = migrateTo(TAP_VERSION, TAP_MIGRATIONS, json as Record<string, unknown>);
  if (current === null) {
    throw new MeasurementError(
      `this measurement has the schema "ringwright.tap/${number}", which this version of Ringwright does not know; use the version that wrote it, or a later one`,
    );
  }
  return current;
}

/**
 * Reads a saved measurement, of this or any older version of its schema, from parsed JSON.
 * What it accepts is what docs/schemas/tap-1.schema.json accepts, less files whose indices point nowhere or whose curves
 * have lists of different lengths, numbers beyond 1e100, and more than 64 levels. Fields it does not know are left as they are.
 *
 * @param json what JSON.parse gave
 * @throws MeasurementError with one sentence: the field's path, what is there, what is expected, what to do
 */
export function readTapMeasurement(json: unknown): TapMeasurement {
  const current = currentVersion(json);
  const complaint = firstComplaint(TAP_SCHEMA, TAP_SCHEMA, current, "");
  if (complaint !== null) {
    const { path, found, expected } = complaint;
    throw new MeasurementError(`${path} is ${found} where ${expected} is expected; ${mend}`);
  }
  // The schema holds the same fields as the type: a test compares them.
  const measurement = current as unknown as TapMeasurement;
  const broken = brokenReference(measurement) ?? beyondReason(measurement);
  if (broken !== null) throw new MeasurementError(`${broken}; ${mend}`);
  return measurement;
}

/** Reads a saved measurement from the text of its file. @throws MeasurementError as {@link readTapMeasurement} */
export function readTapJson(text: string): TapMeasurement {
  let json: unknown;
  try {
    json = JSON.parse(text.replace(/^\ufeff/, ""));
  } catch {
    throw new MeasurementError(
      `this is not a saved measurement: the text is not JSON or is cut off; save one with "ringwright tap --json FILE"`,
    );
  }
  return readTapMeasurement(json);
}

/** Whether a value is a measurement of the current version, whole and consistent. */
export function isTapMeasurement(json: unknown): json is TapMeasurement {
  return (
    firstComplaint(TAP_SCHEMA, TAP_SCHEMA, json, "") === null &&
    brokenReference(json as TapMeasurement) === null &&
    beyondReason(json) === null
  );
}
