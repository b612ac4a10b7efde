import { describe, expect, test } from "vitest";
import { type MigrationStep, migrateTo, TAP_MIGRATIONS } from "../../src/measurement/migrate.ts";

// Invented versions of an invented schema.
const STEPS: MigrationStep[] = [
  { from: "x/2", to: "x/3", migrate: ({ b, ...rest }) => ({ ...rest, c: b }) },
  { from: "x/1", to: "x/2", migrate: ({ a, ...rest }) => ({ ...rest, b: a }) },
];

describe("migrateTo", () => {
  test("migrateTo gives null where no step leads on", () => {
    expect(migrateTo("x/3", STEPS, {})).toBeNull();
    expect(migrateTo("x/3", STEPS, { schema: "x/9" })).toBeNull();
    expect(migrateTo("x/3", [], { schema: "x/1" })).toBeNull();
  });

  test("migrateTo ends on steps that lead in a circle", () => {
    const circle = [...STEPS, { from: "x/3", to: "x/1", migrate: (old: Record<string, unknown>) => old }];
    expect(migrateTo("x/4", circle, { schema: "x/1" })).toBeNull();
  });

  test("migrateTo leaves the wanted version as it is", () => {
    const json = { schema: "x/3", c: 1 };
    expect(migrateTo("x/3", STEPS, json)).toBe(json);
  });

  test("migrateTo takes one step after the other, and leaves the old file alone", () => {
    const old = { schema: "x/1", a: 5 };
    expect(migrateTo("x/3", STEPS, old)).toEqual({ schema: "x/3", c: 5 });
    expect(old).toEqual({ schema: "x/1", a: 5 });
  });

  test("migrateTo reaches the present from every version that has a step", () => {
    const reach = (version: string): boolean => {
      const step = TAP_MIGRATIONS.find((s) => s.from === version);
      return version === "ringwright.tap/1" || (step !== undefined && reach(step.to));
    };
    expect(TAP_MIGRATIONS.map((s) => s.from).filter((version) => !reach(version))).toEqual([]);
  });
});
