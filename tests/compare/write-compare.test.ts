import { readFileSync } from "node:fs";
import Ajv2020 from "ajv/dist/2020.js";
import { describe, expect, test } from "vitest";
import { type Comparison, compareCastings, writeCompareJson } from "../../src/compare/index.ts";
import { crackedBell, emptyMeasurement, soundBell } from "../support/sample-measurement.ts";
import { estimate } from "../support/sample-parts.ts";
import { churchBell, clockBell } from "./support/published-bells.ts";
import { casting, inOtherAlloy, oneStrike } from "./support/sample-castings.ts";

const schema = JSON.parse(
  readFileSync(new URL("../../docs/schemas/compare-1.schema.json", import.meta.url), "utf8"),
);
const ajv = new Ajv2020({ strict: true, allowUnionTypes: true, allErrors: true });
const accepts = ajv.compile(schema);
const knowsAll = ajv.compile(closed({ ...schema, $id: "urn:ringwright:schema:compare-1-closed" }) as object);

/** The schema with every object closed to fields that it does not name. */
function closed(node: unknown): unknown {
  if (Array.isArray(node)) return node.map(closed);
  if (typeof node !== "object" || node === null) return node;
  const copy: Record<string, unknown> = Object.fromEntries(
    Object.entries(node).map(([key, value]) => [key, closed(value)]),
  );
  return copy.type === "object" && copy.properties !== undefined
    ? { ...copy, additionalProperties: false }
    : copy;
}

const known = {
  alloy: "Cu90Sn10",
  massKg: estimate(4, 0.01),
  diameterM: estimate(0.2, 0.0005),
};
const SAMPLES: Record<string, Comparison> = {
  "two alloys": compareCastings([
    casting(soundBell(), known),
    casting(inOtherAlloy(1.022, 0.5), { ...known, alloy: "Cu80Sn20" }),
  ]),
  "one strike, cracked": compareCastings([casting(oneStrike(soundBell())), casting(crackedBell())]),
  "nothing measured": compareCastings([casting(soundBell()), casting(emptyMeasurement())]),
  "different patterns, three castings": compareCastings(
    [churchBell(), clockBell(), churchBell(1.01)].map((m) => casting(m)),
    2,
    "No such recording was made.",
  ),
};

describe("writeCompareJson(comparison)", () => {
  test("writeCompareJson(comparison) refuses a number that is not finite, and names its field", () => {
    const broken = { ...SAMPLES["two alloys"] };
    broken.pairs = [{ ...broken.pairs[0], strikeSpreadCents: Number.NaN }];
    expect(() => writeCompareJson(broken)).toThrow("strikeSpreadCents is NaN");
  });

  test.each(Object.entries(SAMPLES))(
    "writeCompareJson(comparison) of %s fits the schema, which names every field",
    (_, comparison) => {
      const text = writeCompareJson(comparison);
      expect(text.endsWith("}\n")).toBe(true);
      const json = JSON.parse(text);
      accepts(json);
      expect(accepts.errors).toBeNull();
      knowsAll(json);
      expect(knowsAll.errors).toBeNull();
    },
  );

  test("compare-1.schema.json refuses another version, a missing part and an interval below 0", () => {
    const json = JSON.parse(writeCompareJson(SAMPLES["two alloys"]));
    expect(accepts({ ...json, schema: "ringwright.compare/2" })).toBe(false);
    expect(accepts({ ...json, common: undefined })).toBe(false);
    expect(accepts({ ...json, common: { ...json.common, cents: { value: 1, ci95: -1 } } })).toBe(false);
    expect(accepts({ ...json, castings: json.castings.slice(1) })).toBe(false);
  });
});
