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

  const good = { value: 2, ci95: 0.1 };
  const partial = { name: "hum", frequencyHz: good, decayTimeS: good };
  const sound = {
    expected: { partials: [partial], strikeNoteHz: good, massKg: good, diameterM: good },
    exponent: good,
    contraction: { percent: good },
    lengths: [{ patternM: good }],
    alloy: {},
  };
  /** Reads the sound plan with one of its values replaced. */
  const readWith = (path: (string | number)[], value: unknown) => {
    const scale = structuredClone(sound) as object;
    const holder = path.slice(0, -1).reduce<object>((at, key) => Reflect.get(at, key) as object, scale);
    Reflect.set(holder, path.at(-1)!, value);
    return readScalePlan(saved({ scale }));
  };
  const positive = [
    ["expected", "partials", 0, "frequencyHz"],
    ["expected", "partials", 0, "decayTimeS"],
    ["expected", "strikeNoteHz"],
    ["expected", "massKg"],
    ["expected", "diameterM"],
    ["exponent"],
    ["lengths", 0, "patternM"],
  ];

  it("readScalePlan takes what a review needs, where nothing was known of name, decay, note, mass, size or alloy", () => {
    expect(readScalePlan(saved({ scale: sound }))).toEqual(sound);
    const unknown = {
      ...sound,
      expected: {
        partials: [{ name: null, frequencyHz: good, decayTimeS: null }],
        strikeNoteHz: null,
        massKg: null,
        diameterM: null,
      },
      // Exact, and a pattern that has to be smaller than its casting: odd, and no damage.
      contraction: { percent: { value: -1, ci95: 0 } },
      lengths: [],
      alloy: null,
    };
    expect(readScalePlan(saved({ scale: unknown }))).toEqual(unknown);
  });

  it.each<[string, unknown]>([
    ["missing", undefined],
    ["no object", 3],
    ["a list", []],
    ["without a value", { ci95: 0.1 }],
    ["without an interval", { value: 2 }],
    ["with an interval below 0", { value: 2, ci95: -0.1 }],
  ])("readScalePlan refuses a plan any of whose numbers is %s", (_, bad) => {
    for (const path of [...positive, ["contraction", "percent"]]) {
      expect(() => readWith(path, bad), path.join(".")).toThrow(/damaged/);
    }
  });

  it("readScalePlan refuses frequencies, decays, sizes and exponents of nought", () => {
    for (const path of positive) {
      expect(() => readWith(path, { value: 0, ci95: 0.1 }), path.join(".")).toThrow(/damaged/);
    }
  });

  it.each<[string, object]>([
    ["expectations", { expected: null }],
    ["list of partials", { expected: { ...sound.expected, partials: {} } }],
    ["partials that are objects", { expected: { ...sound.expected, partials: [partial, null] } }],
    ["names that are text", { expected: { ...sound.expected, partials: [{ ...partial, name: 3 }] } }],
    ["contraction", { contraction: null }],
    ["list of lengths", { lengths: { length: 0 } }],
    ["lengths that are objects", { lengths: [null] }],
    ["word on the alloy", { alloy: undefined }],
  ])("readScalePlan refuses a plan without %s", (_, change) => {
    expect(() => readScalePlan(saved({ scale: { ...sound, ...change } }))).toThrow(/damaged/);
  });

  it("readScalePlan refuses a list where the scale should be", () => {
    expect(() => readScalePlan(saved({ scale: [] }))).toThrow(/holds no scale/);
  });
});
