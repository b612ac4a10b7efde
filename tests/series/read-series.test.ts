import { readFileSync } from "node:fs";
import Ajv2020 from "ajv/dist/2020.js";
import { describe, expect, it } from "vitest";
import { parse } from "yaml";
import { readSeries, STARTER_SERIES } from "../../src/series/index.ts";

const SMALLEST = `set: garden row
bells:
  - name: first
    target: C6            # a note, or hertz
    passes:
      - recordings: [first-0.wav]
      - recordings: [first-1.wav, first-1b.wav]
        removedG: 12
        at: Inner lip
`;
const FULL = `set: full
a4Hz: 442
temperament: just
tonic: D
profile: handbell
anchor: set
bells:
  - {name: a, target: 523.25, alloy: Cu80Sn20, massKg: 3.2, diameterMm: 170, passes: [{recordings: [a.wav], date: 2026-05-01, metalC: 19.5, airC: 20, note: first heat}]}
  - {name: 2, target: 660 Hz, passes: [{recordings: [b.json], removedMm: 0.4, at: waist}]}
`;
const OWN =
  "set: own\ntemperament: [0, 90, 200, 300, 400, 500, 600, 700, 800, 900, 1000, 1100]\nbells: [{name: a, target: C5}]\n";

const schema = JSON.parse(
  readFileSync(new URL("../../docs/schemas/series-file-1.schema.json", import.meta.url), "utf8"),
);
const accepts = new Ajv2020({ strict: true, allowUnionTypes: true, strictRequired: false }).compile(schema);

describe("readSeries on what cannot be read", () => {
  const pass = (fields: string) =>
    `set: s\nbells:\n  - name: a\n    target: C5\n    passes:\n      - recordings: [a.wav]\n${fields}`;

  it.each([
    ["", /^line 1: the file is empty; ringwright series init/],
    [" \n", /^line 1: the file is empty/],
    ["\ufffdPNG\u0000", /^line 1: this is no text, so no series file/],
    ["- 1\n", /^line 1: the file is a list of 1; write a map/],
    ["set: a\n  b: [\n", /^line \d+: this is neither YAML nor JSON/],
    ["set: a\nbells: []\n", /^line 2: bells is a list of 0; write a list of bells/],
    ["set: a\nbell:\n  - name: b\n", /^line 2: bell is not a field of a series file; did you mean bells\?/],
    [
      "set: a\nbells:\n  - name: b\n    target: H6\n",
      /^line 4: bells\[0\]\.target is "H6"; write a note such as C6/,
    ],
    ["set: a\nbells:\n  - name: b\n    target: -3\n", /^line 4: .*is -3; write a note/],
    ["set: a\nbells:\n  - target: C5\n", /^line 3: bells\[0\]\.name is missing/],
    [
      "set: a\nbells:\n  - {name: b, target: C5}\n  - {name: b, target: D5}\n",
      /^line 4: .*another bell has this name/,
    ],
    ["bells:\n  - {name: b, target: C5}\n", /^line 1: set is missing; write the name of the set/],
    [
      "set: a\na4Hz: high\nbells: [{name: b, target: C5}]\n",
      /^line 2: a4Hz is "high"; write hertz from 300 to 600/,
    ],
    ["set: a\na4Hz: .nan\nbells: [{name: b, target: C5}]\n", /^line 2: a4Hz is NaN/],
    ["set: a\na4Hz: .inf\nbells: [{name: b, target: C5}]\n", /^line 2: a4Hz is Infinity/],
    [
      "set: a\ntemperament: wild\nbells: [{name: b, target: C5}]\n",
      /^line 2: temperament "wild" is not known/,
    ],
    ["set: a\ntemperament: [0, 1]\nbells: [{name: b, target: C5}]\n", /^line 2: a temperament of your own/],
    ["set: a\ntonic: X\nbells: [{name: b, target: C5}]\n", /^line 2: the tonic "X"/],
    [
      "set: a\nprofile: big\nbells: [{name: b, target: C5}]\n",
      /^line 2: profile is "big"; write one of minor-third/,
    ],
    ["set: a\nanchor: sea\nbells: [{name: b, target: C5}]\n", /^line 2: anchor is "sea"; write a4 or set/],
    [pass("        removedG: 12\n"), /^line 6: bells\[0\]\.passes\[0\]\.at is missing; write where/],
    [pass("        removedG: -2\n        at: lip\n"), /^line 7: .*removedG is -2; write grams from 0/],
    [
      pass("        removedG: 1\n        removedMm: 1\n        at: lip\n"),
      /^line 8: .*removedMm is 1; this pass has removedG too/,
    ],
    [pass("        removed: 12\n"), /^line 7: .*passes\[0\]\.removed is not a field/],
    [
      "set: s\nbells:\n  - name: a\n    target: C5\n    passes:\n      - date: x\n",
      /^line 6: .*recordings is missing; write a list/,
    ],
  ])("readSeries refuses %j naming the line", (text, message) => {
    expect(() => readSeries(text)).toThrow(message);
  });
});

describe("readSeries", () => {
  it("readSeries reads the smallest file, with its defaults", () => {
    const file = readSeries(SMALLEST);
    expect(file).toMatchObject({ set: "garden row", a4Hz: 440, profile: "minor-third", anchor: "a4" });
    expect(file.temperament.id).toBe("equal");
    const [bell] = file.bells;
    // Equal temperament from 440 Hz: C6 is 1046.502 Hz (ISO 16).
    expect(bell!.targetHz).toBeCloseTo(1046.502, 3);
    expect(bell!.passes.map(({ removedG, at }) => [removedG, at])).toEqual([
      [null, null],
      [12, "inner lip"],
    ]);
    expect(bell!.passes[1]!.recordings).toEqual(["first-1.wav", "first-1b.wav"]);
  });

  it("readSeries reads JSON as it reads YAML, and every field there is", () => {
    const file = readSeries(FULL);
    expect(readSeries(JSON.stringify(parse(FULL)))).toMatchObject({
      ...file,
      bells: file.bells.map((bell) => ({ ...bell, passes: bell.passes.map(({ line: _, ...pass }) => pass) })),
    });
    expect(file.bells[0]).toMatchObject({
      alloy: "Cu80Sn20",
      massKg: 3.2,
      diameterMm: 170,
      targetHz: 523.25,
    });
    expect(file.bells[0]!.passes[0]).toMatchObject({ date: "2026-05-01", metalC: 19.5, note: "first heat" });
    expect(file.bells[1]).toMatchObject({
      name: "2",
      targetHz: 660,
      passes: [{ removedMm: 0.4, at: "waist" }],
    });
  });

  it("readSeries reads the starter file as it stands", () => {
    expect(readSeries(STARTER_SERIES).bells).toHaveLength(1);
    // Its remarks, taken for lines, are right too.
    const opened = STARTER_SERIES.replace(/^(\s*)# (?=[a-z4A-Z]+: )/gm, "$1").replaceAll(
      /^(\s*)# {0,3}(- recordings| {2}removedG| {2}at)/gm,
      "$1$2",
    );
    expect(readSeries(opened).bells[0]!.alloy).toBe("Cu80Sn20");
  });
});

describe("series-file-1.schema.json", () => {
  it.each([SMALLEST, FULL, OWN, STARTER_SERIES])(
    "series-file-1.schema.json accepts what readSeries accepts",
    (text) => {
      expect(() => readSeries(text)).not.toThrow();
      accepts(parse(text));
      expect(accepts.errors).toBeNull();
    },
  );

  it("series-file-1.schema.json refuses an unknown field, a cut without its place, and both units at once", () => {
    const file = parse(SMALLEST);
    expect(accepts({ ...file, bell: [] })).toBe(false);
    expect(accepts({ ...file, bells: [] })).toBe(false);
    const withPass = (pass: object) => ({
      ...file,
      bells: [{ ...file.bells[0], passes: [{ recordings: ["a"], ...pass }] }],
    });
    expect(accepts(withPass({ removedG: 1, at: "lip" }))).toBe(true);
    expect(accepts(withPass({ removedG: 1 }))).toBe(false);
    expect(accepts(withPass({ removedG: 1, removedMm: 1, at: "lip" }))).toBe(false);
    expect(accepts(withPass({ removed: 1 }))).toBe(false);
  });
});
