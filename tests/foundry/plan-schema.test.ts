import { readFileSync } from "node:fs";
import Ajv2020 from "ajv/dist/2020.js";
import { describe, expect, it } from "vitest";
import { SAMPLE_PLANS, sampleScale } from "./plan-samples.ts";

const schema = JSON.parse(
  readFileSync(new URL("../../docs/schemas/plan-1.schema.json", import.meta.url), "utf8"),
);
// strictRequired cannot see that oneOf's branches name properties declared beside it.
const ajv = new Ajv2020({ strict: true, allowUnionTypes: true, strictRequired: false, allErrors: true });
const accepts = ajv.compile(schema);
const knowsAll = ajv.compile(withoutMore({ ...schema, $id: "urn:ringwright:schema:plan-1-closed" }));

describe("plan-1.schema.json", () => {
  it.each(SAMPLE_PLANS)("plan-1.schema.json accepts %s as it is saved", (_, make) => {
    accepts(JSON.parse(JSON.stringify(make())));
    expect(accepts.errors).toBeNull();
  });

  it.each(SAMPLE_PLANS)(
    "plan-1.schema.json names every field of %s, and no number in it is lost to null",
    (_, make) => {
      const plan = make();
      knowsAll(JSON.parse(JSON.stringify(plan)));
      expect(knowsAll.errors).toBeNull();
      expect(numbersIn(plan).every(Number.isFinite)).toBe(true);
    },
  );

  it("plan-1.schema.json refuses a plan without its part, with the wrong part, or with an interval below 0", () => {
    const plan = JSON.parse(JSON.stringify(sampleScale()));
    expect(accepts({ ...plan, scale: undefined })).toBe(false);
    expect(accepts({ ...plan, command: "charge" })).toBe(false);
    expect(accepts({ ...plan, schema: "ringwright.plan/2" })).toBe(false);
    expect(accepts({ ...plan, scale: { ...plan.scale, factor: { value: 1, ci95: -1 } } })).toBe(false);
  });
});

/** The schema with every object closed to fields that it does not name. */
function withoutMore(node: object): object {
  const copy: Record<string, unknown> = Array.isArray(node) ? ([...node] as never) : { ...node };
  for (const [key, value] of Object.entries(copy)) {
    if (typeof value === "object" && value !== null) copy[key] = withoutMore(value);
  }
  if (copy.type === "object" && copy.properties && !copy.additionalProperties)
    copy.additionalProperties = false;
  return copy;
}

function numbersIn(value: unknown): number[] {
  if (typeof value === "number") return [value];
  if (typeof value !== "object" || value === null) return [];
  return Object.values(value).flatMap(numbersIn);
}
