import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import type { ValidateFunction } from "ajv";
import Ajv2020 from "ajv/dist/2020.js";
import { describe, expect, it } from "vitest";
import { parse } from "yaml";
import { lazyEngine } from "../../src/cli/engine.ts";
import { STARTER_SERIES } from "../../src/series/index.ts";
import { ringwright, temporaryFolder } from "../cli/harness.ts";
import { fillBenchFolder } from "./bench-folder.ts";
import { fencesOf, ROOT, readDocument } from "./markdown.ts";

const FOLDER = join(ROOT, "docs/schemas");
const FILES = readdirSync(FOLDER).filter((name) => name.endsWith(".schema.json"));

// strictRequired cannot see that the branches of an alternative name properties declared beside it.
const ajv = new Ajv2020({ strict: true, allowUnionTypes: true, strictRequired: false, allErrors: true });
const schemas = new Map<string, ValidateFunction>(
  FILES.map((file) => [file.replace(".schema.json", ""), ajv.compile(readJson(join(FOLDER, file)))]),
);

function readJson(path: string) {
  return JSON.parse(readFileSync(path, "utf8"));
}

/** What ajv finds wrong with a value, in words; "" where nothing is. */
function complaints(schema: string, value: unknown): string {
  const validate = schemas.get(schema)!;
  validate(value);
  return ajv.errorsText(validate.errors ?? [], { separator: "\n" }).replace("No errors", "");
}

/** Every command that writes a result, in an order in which each finds what it needs: the schema, the file, the status. */
const COMMANDS: [command: string[], schema: string, file: string, status: number][] = [
  [["tap", "bell.wav"], "tap-1", "bell.json", 0],
  [["tap", "bell-1.wav", "bell-2.wav", "--ridges", "8", "--pin", "nominal=2092"], "tap-1", "casting.json", 0],
  [["tap", "bell.wav", "--profile", "handbell"], "tap-1", "handbell.json", 0],
  [["compare", "heat1.wav", "heat2.wav", "--alloy", "Cu90Sn10", "--mass", "4kg"], "compare-1", "one.json", 0],
  [
    ["compare", "heat1-1.wav,heat1-2.wav", "heat2-1.wav,heat2-2.wav", "bell.json"],
    "compare-1",
    "two.json",
    0,
  ],
  [["compare", "--demo"], "compare-1", "demo.json", 0],
  [["series", "row.yaml", "--temperature", "20"], "series-1", "series.json", 0],
  [["plan", "scale", "bell.json", "--note", "C6", "--diameter", "180mm"], "plan-1", "plan.json", 0],
  [
    ["plan", "scale", "bell.wav", "--hz", "900", "--from-alloy", "Cu90Sn10", "--to-alloy", "Cu80Sn20"],
    "plan-1",
    "scale.json",
    0,
  ],
  [
    ["plan", "charge", "--mass", "12kg", "--alloy", "Cu78Sn22", "--loss", "Sn=1%"],
    "plan-1",
    "charge.json",
    0,
  ],
  [["plan", "charge", "--mass", "12kg", "--alloy", "Cu78Sn22", "--new", "Cu"], "plan-1", "never.json", 1],
  [["plan", "correct", "--have", "10kg:Cu90Sn10", "--want", "Cu80Sn20"], "plan-1", "correct.json", 0],
  [
    ["plan", "density", "--air", "812g", "--water", "718g", "--alloy", "Cu80Sn20"],
    "plan-1",
    "density.json",
    0,
  ],
  [["forecast", "bell.csv", "--harmonics", "2-4", "--ridges", "8:0.4mm"], "forecast-1", "forecast.json", 0],
  [["forecast", "bell.csv", "--casting", "bell.json", "--harmonics", "2-4"], "forecast-1", "fitted.json", 0],
  [
    ["forecast", "design", "bell.csv", "--ratios", "minor-third", "--note", "C6", "--drawing", "new.csv"],
    "forecast-1",
    "design.json",
    0,
  ],
  [["forecast", "tune", "new.csv", "--measured", "bell.json"], "forecast-1", "cut.json", 0],
  [["plan", "review", "plan.json", "casting.json", "--mass", "4.2kg"], "plan-1", "review.json", 0],
];

const ROW = `set: row
bells:
  - name: first
    target: C6
    passes:
      - {recordings: [first-0.wav], metalC: 18}
      - {recordings: [first-1.wav, first-1b.wav], removedG: 12, at: inner lip, metalC: 20}
      - {recordings: [bell.json], removedMm: 0.2, at: waist}
`;

/** Runs all commands for real; gives what each wrote. */
async function everyResult(): Promise<{ command: string; schema: string; json: unknown }[]> {
  const cwd = temporaryFolder();
  fillBenchFolder(cwd);
  writeFileSync(join(cwd, "row.yaml"), ROW);
  const results = [];
  for (const [argv, schema, file, status] of COMMANDS) {
    const command = argv.join(" ");
    const run = await ringwright([...argv, "--json", file, "--quiet"], { cwd, engine: lazyEngine });
    expect(run.status, `${command}\n${run.stderr}`).toBe(status);
    results.push({ command, schema, json: readJson(join(cwd, file)) });
  }
  return results;
}

/** Example files that come with the project: the schema and the parsed text. */
function exampleFiles(): [name: string, schema: string, json: unknown][] {
  const from = (folder: string, schema: string): [string, string, unknown][] =>
    readdirSync(join(ROOT, folder)).map((name) => [name, schema, readJson(join(ROOT, folder, name))]);
  const blocks = (path: string, language: string, schema: string, read: (text: string) => unknown) =>
    fencesOf(readDocument(path))
      .filter((fence) => fence.language === language)
      .map(({ text, line }): [string, string, unknown] => [`${path}, line ${line}`, schema, read(text)]);
  return [
    ...from("fixtures/golden", "tap-1"),
    ...from("fixtures/measurement", "tap-1"),
    ...from("src/bell/profiles", "profile-1"),
    ["the file of series init", "series-file-1", parse(STARTER_SERIES)],
    ...blocks("docs/series.md", "yaml", "series-file-1", parse),
    ...blocks("docs/schemas/README.md", "yaml", "series-file-1", parse),
    ...blocks("docs/schemas/README.md", "json", "profile-1", JSON.parse),
  ];
}

/**
 * The kinds of places, of those that hold a number, a text, true, false or null, at which an object that belongs nowhere
 * passes the schema all the same. Long lists are cut to three first, since every place of a kind is tried once.
 */
function passedDamaged(schema: string, json: unknown): string[] {
  const passed: string[] = [];
  const seen = new Set<string>();
  const whole = JSON.parse(JSON.stringify(json), (_, value) =>
    Array.isArray(value) && value.length > 12 ? value.slice(0, 3) : value,
  );
  expect(complaints(schema, whole)).toBe("");
  const walk = (at: Record<string, unknown>, path: string): void => {
    for (const [key, value] of Object.entries(at)) {
      const place = Array.isArray(at) ? `${path}[]` : `${path}.${key}`;
      if (typeof value === "object" && value !== null) walk(value as Record<string, unknown>, place);
      else if (!seen.has(place)) {
        seen.add(place);
        at[key] = { belongs: "nowhere" };
        if (complaints(schema, whole) === "") passed.push(place);
        at[key] = value;
      }
    }
  };
  walk(whole, "");
  expect(seen.size).toBeGreaterThan(2);
  return passed;
}

describe("the schemas", () => {
  it("schemas: every file has a version in its name, its id and its title or constant", () => {
    expect(FILES).toHaveLength(7);
    for (const file of FILES) {
      const name = file.replace(".schema.json", "");
      const { $id, properties } = readJson(join(FOLDER, file));
      expect($id).toBe(`urn:ringwright:schema:${name}`);
      // A series file is written by hand and has no version in it.
      if (name !== "series-file-1")
        expect(properties.schema.const).toBe(`ringwright.${name.replace(/-(\d+)$/, "/$1")}`);
    }
  });

  it("schemas accept what every command writes, and refuse it damaged", { timeout: 120_000 }, async () => {
    const results = await everyResult();
    expect(new Set(results.map(({ schema }) => schema)).size).toBe(5);
    for (const { command, schema, json } of results) {
      expect(complaints(schema, json), command).toBe("");
      expect(complaints(schema, { ...(json as object), schema: "ringwright.none/1" }), command).not.toBe("");
      expect(passedDamaged(schema, json), command).toEqual([]);
    }
  });

  it("schemas accept every example file, and refuse it damaged", () => {
    const examples = exampleFiles();
    expect(new Set(examples.map(([, schema]) => schema))).toEqual(
      new Set(["tap-1", "profile-1", "series-file-1"]),
    );
    for (const [name, schema, json] of examples) {
      expect(complaints(schema, json), name).toBe("");
      expect(passedDamaged(schema, json), name).toEqual([]);
    }
  });
});
