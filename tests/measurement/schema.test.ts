import { readFileSync } from "node:fs";
import Ajv2020 from "ajv/dist/2020.js";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { isTapMeasurement, readTapMeasurement, type TapMeasurement } from "../../src/measurement/index.ts";
import { firstComplaint, type SchemaNode } from "../../src/measurement/schema-check.ts";
import { crackedBell, emptyMeasurement, noisyRecording, soundBell } from "../support/sample-measurement.ts";

const schema: SchemaNode = JSON.parse(
  readFileSync(new URL("../../docs/schemas/tap-1.schema.json", import.meta.url), "utf8"),
);
// The other reader of the same schema: ajv, an independent implementation of JSON Schema 2020-12.
const ajvAccepts = new Ajv2020({ strict: true, allowUnionTypes: true }).compile(schema);

const SAMPLES = {
  soundBell: soundBell(),
  crackedBell: crackedBell(),
  noisyRecording: noisyRecording(),
  emptyMeasurement: emptyMeasurement(),
};

/** Short curves, so that thousands of copies are cheap, and every alternative of the schema at least once. */
function smallSample(): TapMeasurement {
  const sample = soundBell();
  const ringDowns = sample.curves.ringDowns.slice(0, 2).map((r) => ({
    ...r,
    timeS: r.timeS.slice(0, 2),
    levelDb: r.levelDb.slice(0, 2),
    modelDb: r.modelDb.slice(0, 2),
  }));
  return {
    ...sample,
    options: { ...sample.options, ridges: 8, pins: { nominal: 1046 } },
    partials: sample.partials.slice(0, 5),
    rimLaw: { ...sample.rimLaw!, partials: [0, 2, 4] },
    fit: { ...sample.fit, glidePercent: { value: 0.1, ci95: 0.02 } },
    curves: { spectrum: { frequencyHz: [100], levelDb: [-3], noiseDb: [-60] }, ringDowns },
    findings: [
      {
        id: "invented",
        title: "Invented",
        outcome: "note",
        text: "Invented.",
        evidence: [
          { kind: "number", label: "a", value: 1, ci95: null, unit: "Hz" },
          {
            kind: "table",
            label: "b",
            columns: ["c", "d"],
            rows: [
              ["e", null],
              [1, "f"],
            ],
          },
          { kind: "time", label: "g", fromS: 0, toS: 1, recording: 0 },
          { kind: "chart", label: "h", chart: "beats", partial: 1 },
        ],
      },
    ],
  };
}

/** Every place in plain data, as the keys that lead there. */
function places(data: unknown, path: (string | number)[] = []): (string | number)[][] {
  if (typeof data !== "object" || data === null) return [path];
  const keys = Array.isArray(data) ? data.map((_, i) => i) : Object.keys(data);
  return [
    path,
    ...keys.flatMap((key) => places((data as Record<string | number, unknown>)[key], [...path, key])),
  ];
}

const REMOVED = Symbol("removed");

/** A deep copy with one place replaced, or removed. */
function changed(data: unknown, path: (string | number)[], to: unknown): unknown {
  if (path.length === 0) return to === REMOVED ? undefined : to;
  const copy = structuredClone(data) as Record<string | number, unknown>;
  let at = copy;
  for (const key of path.slice(0, -1)) at = at[key] as Record<string | number, unknown>;
  const last = path[path.length - 1]!;
  if (to !== REMOVED) at[last] = to;
  else if (Array.isArray(at)) at.splice(last as number, 1);
  else delete at[last];
  return copy;
}

const replacement = fc.oneof(
  fc.constant(REMOVED),
  fc.constantFrom(null, true, "", "note", "mains", "ringwright.tap/2", 0, -1, 0.5, 1, 2, 1e308),
  fc.constantFrom(Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY),
  fc.constantFrom([], {}, [1], ["x"], { value: 1, ci95: 0 }, { value: 1, ci95: -1 }, { kind: "number" }),
  fc.jsonValue({ maxDepth: 2 }),
);

describe("tap-1.schema.json", () => {
  test.each(Object.entries(SAMPLES))("schema accepts %s, by ajv and by the reader", (_, sample) => {
    expect(ajvAccepts(sample), JSON.stringify(ajvAccepts.errors)).toBe(true);
    expect(readTapMeasurement(sample)).toBe(sample);
    expect(isTapMeasurement(sample)).toBe(true);
  });

  test("schema and reader judge alike whatever stands in any field", () => {
    const sample = smallSample();
    expect(isTapMeasurement(sample)).toBe(true);
    const everywhere = places(sample);
    let refused = 0;
    const runs = 1500;
    fc.assert(
      fc.property(fc.constantFrom(...everywhere), replacement, (path, to) => {
        const json = changed(sample, path, to);
        const complaint = firstComplaint(schema, schema, json, "");
        expect(complaint === null, `${path.join(".")} ${JSON.stringify(complaint)}`).toBe(ajvAccepts(json));
        // The reader may be stricter (indices, lengths), never more lenient.
        if (isTapMeasurement(json)) expect(ajvAccepts(json)).toBe(true);
        else refused++;
      }),
      { seed: 7, numRuns: runs },
    );
    // The changes are not all harmless and not all harmful, else the test above says little.
    expect(refused).toBeGreaterThan(runs / 10);
    expect(refused).toBeLessThan(runs);
  });

  test("schema refuses every field of the measurement when it is removed", () => {
    const sample = smallSample();
    const fields = places(sample).filter(
      (path) => typeof path[path.length - 1] === "string" && path[1] !== "pins",
    );
    for (const path of fields) {
      const json = changed(sample, path, REMOVED);
      expect(ajvAccepts(json), path.join(".")).toBe(false);
      expect(isTapMeasurement(json), path.join(".")).toBe(false);
    }
  });

  test("schema uses only the words that the reader knows", () => {
    const known = new Set([
      ...[
        "$schema",
        "$id",
        "$ref",
        "$defs",
        "title",
        "description",
        "anyOf",
        "const",
        "enum",
        "type",
        "required",
      ],
      ...["properties", "additionalProperties", "items", "minItems", "maxItems"],
      ...["minimum", "maximum", "exclusiveMinimum"],
    ]);
    const check = (node: Record<string, unknown>): void => {
      expect(Object.keys(node).filter((key) => !known.has(key))).toEqual([]);
      // Beside a reference or alternatives the reader looks at nothing else.
      if ("$ref" in node || "anyOf" in node) {
        const beside = ["description", "$ref", "anyOf"];
        expect(Object.keys(node).filter((key) => !beside.includes(key))).toEqual([]);
      }
      const { properties, $defs, items, additionalProperties, anyOf } = node as Record<
        string,
        object | undefined
      >;
      const children = [properties, $defs].flatMap((o) => Object.values(o ?? {}));
      for (const child of [...children, ...((anyOf ?? []) as object[]), items, additionalProperties]) {
        if (child !== undefined) check(child as Record<string, unknown>);
      }
    };
    check(schema as Record<string, unknown>);
  });
});
