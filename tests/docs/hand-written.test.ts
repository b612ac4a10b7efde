import { readFileSync } from "node:fs";
import { join } from "node:path";
import Ajv2020 from "ajv/dist/2020.js";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { parseProfile } from "../../src/bell/index.ts";
import handbell from "../../src/bell/profiles/handbell.json" with { type: "json" };
import { readSeries } from "../../src/series/index.ts";
import { ROOT } from "./markdown.ts";

// Files that people write by hand. The schema lets through all that the reader reads, so that an editor which checks
// against it never marks a good file; the reader may ask for more, such as rising ratios.

const ajv = new Ajv2020({ strict: true, allowUnionTypes: true, strictRequired: false });
const compiled = (file: string) =>
  ajv.compile(JSON.parse(readFileSync(join(ROOT, "docs/schemas", file), "utf8")));

const PROFILE = {
  schema: "ringwright.profile/1",
  id: "own-bell",
  title: "Own bell",
  reference: ["prime"],
  longestRing: "hum",
  strikeHalfOf: null,
  rimLaw: { b: 0.5, p: 1.5, spreadP: 0.1, source: "invented", status: "assumed" },
  note: "Invented.",
  partials: [
    { name: "hum", ratio: 0.5, nodalMeridians: 2, nodalCircles: 0, rim: false, spread: 0.08, presence: 0.9 },
    {
      name: "prime",
      ratio: 1,
      alsoCalled: ["first"],
      nodalMeridians: 2,
      rim: true,
      source: "",
      status: "read",
    },
    { name: "nominal", ratio: 2, nodalMeridians: 4, rim: true },
  ],
};

const SERIES = {
  set: "row",
  a4Hz: 441,
  temperament: "just",
  tonic: "D",
  profile: "handbell",
  anchor: "set",
  bells: [
    {
      name: "first",
      target: "C6",
      alloy: "Cu80Sn20",
      massKg: 4.2,
      diameterMm: 180,
      passes: [
        { recordings: ["a.wav"], date: "2026-05-01", metalC: 19, airC: 20, note: "warm" },
        { recordings: ["b.wav", "c.wav"], removedG: 12, removedMm: null, at: "inner lip" },
      ],
    },
  ],
};

const OTHER = fc.oneof(
  fc.constantFrom<unknown>(
    undefined,
    null,
    true,
    false,
    "",
    " ",
    "C6",
    "prime",
    "a b",
    0,
    -1,
    0.5,
    1,
    2,
    50,
    441,
  ),
  fc.constantFrom<unknown>([], {}, [1], ["x"], ["prime"], Array(12).fill(1), { name: "x", ratio: 3 }),
  fc.jsonValue({ maxDepth: 2 }),
);

/** Every place in plain data, as the keys that lead there. */
function places(data: unknown, path: string[] = []): string[][] {
  if (typeof data !== "object" || data === null) return [path];
  return [path, ...Object.entries(data).flatMap(([key, value]) => places(value, [...path, key]))];
}

/** A copy with one place replaced; undefined removes it. */
function changed(data: unknown, [key, ...rest]: string[], to: unknown): unknown {
  if (key === undefined) return to;
  const copy = structuredClone(data) as Record<string, unknown>;
  const value = changed(copy[key], rest, to);
  if (value !== undefined) copy[key] = value;
  else if (Array.isArray(copy)) copy.splice(Number(key), 1);
  else delete copy[key];
  return copy;
}

const RUNS = 800;

/** Changes one place after another; counts what the reader reads and what the schema refuses. */
function countJudgements(
  whole: unknown,
  read: (json: unknown) => unknown,
  schema: (json: unknown) => boolean,
) {
  let readable = 0;
  let refused = 0;
  fc.assert(
    fc.property(fc.constantFrom(...places(whole)), OTHER, (path, to) => {
      const json = changed(whole, path, to);
      const accepted = schema(json);
      if (!accepted) refused++;
      try {
        read(json);
      } catch {
        return;
      }
      readable++;
      expect(accepted, JSON.stringify(json)).toBe(true);
    }),
    { seed: 5, numRuns: RUNS },
  );
  return { readable, refused };
}

describe("profile-1.schema.json", () => {
  const accepts = compiled("profile-1.schema.json");

  it("profile-1.schema.json accepts all that parseProfile reads, and refuses most of what it does not", () => {
    expect([accepts(PROFILE), accepts(handbell)]).toEqual([true, true]);
    const { readable, refused } = countJudgements(PROFILE, parseProfile, accepts);
    expect(readable).toBeGreaterThan(RUNS / 20);
    // What is left for the reader alone: names unlike and known, ratios that rise.
    expect(refused).toBeGreaterThan(0.7 * (RUNS - readable));
  });

  it.each([
    ["no version", { schema: undefined }],
    ["another version", { schema: "ringwright.profile/2" }],
    ["an id with a blank", { id: "own bell" }],
    ["no partials", { partials: [] }],
    ["41 partials", { partials: Array.from({ length: 41 }, (_, i) => ({ name: `${i}`, ratio: i + 1 })) }],
    ["a ratio of 0", { partials: [{ name: "hum", ratio: 0 }] }],
    ["a spread of 1", { partials: [{ name: "hum", ratio: 1, spread: 1 }] }],
    ["a rim partial without meridians", { rimLaw: null, partials: [{ name: "hum", ratio: 1, rim: true }] }],
    ["a rim law with one rim partial", { partials: PROFILE.partials.slice(0, 2) }],
    ["a field that nobody reads", { colour: "red" }],
  ])("profile-1.schema.json refuses %s, as parseProfile does", (_, change) => {
    const json = JSON.parse(JSON.stringify({ ...PROFILE, ...change }));
    expect(accepts(json)).toBe(false);
    expect(() => parseProfile(json)).toThrow("profile: ");
  });
});

describe("series-file-1.schema.json", () => {
  it("series-file-1.schema.json accepts all that readSeries reads, and refuses most of what it does not", () => {
    const accepts = compiled("series-file-1.schema.json");
    expect(accepts(SERIES)).toBe(true);
    const { readable, refused } = countJudgements(
      SERIES,
      (json) => readSeries(JSON.stringify(json) ?? ""),
      accepts,
    );
    expect(readable).toBeGreaterThan(RUNS / 20);
    // What is left for the reader alone: notes, tonics, temperaments that ascend, texts that are not blank.
    expect(refused).toBeGreaterThan(0.7 * (RUNS - readable));
  });
});
