import { describe, expect, it } from "vitest";
import { PLAN_SCHEMA, readScalePlan } from "../../src/foundry/plan.ts";
import { planScale } from "../../src/foundry/scale.ts";
import { soundBell } from "../support/sample-measurement.ts";

const scale = planScale({
  measurement: soundBell(),
  reference: "strike note",
  targetHz: 440,
  targetNote: null,
  size: { diameterM: null, heightM: null, wallM: null, massKg: null },
  fromAlloy: null,
  toAlloy: null,
  family: [],
  wallOnly: false,
  contraction: null,
  temperature: null,
});

const saved = (over: object = {}): string =>
  JSON.stringify({
    schema: PLAN_SCHEMA,
    tool: { name: "ringwright", version: "0" },
    command: "scale",
    scale,
    ...over,
  });

describe("readScalePlan", () => {
  it.each([
    ["", /no JSON/],
    ["[]", /no ringwright.plan\/1/],
    ["null", /no ringwright.plan\/1/],
    ['{"schema":"ringwright.tap/1"}', /no ringwright.plan\/1/],
    [saved({ scale: undefined, command: "charge" }), /holds no scale/],
    [saved({ scale: {} }), /damaged/],
    [saved({ scale: { ...scale, exponent: { value: null, ci95: 0 } } }), /damaged/],
    [saved({ scale: { ...scale, expected: { ...scale.expected, partials: [{ name: "hum" }] } } }), /damaged/],
    [
      saved({ scale: { ...scale, expected: { ...scale.expected, massKg: { value: -1, ci95: 0 } } } }),
      /damaged/,
    ],
  ])("readScalePlan refuses %j", (text, message) => {
    expect(() => readScalePlan(text)).toThrow(message);
  });

  it("readScalePlan gives back what was saved, and passes over what it does not know", () => {
    expect(readScalePlan(saved({ later: 1 }))).toEqual(JSON.parse(JSON.stringify(scale)));
  });
});
