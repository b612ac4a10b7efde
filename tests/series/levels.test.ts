import { describe, expect, it } from "vitest";
import { levelsOf, MOST_LEVELS } from "../../src/series/file/levels.ts";
import { readSeries, STARTER_SERIES } from "../../src/series/index.ts";

describe("levelsOf", () => {
  it("levelsOf(text) counts tens of thousands of levels, right and wrong, without exhausting the stack", () => {
    expect(levelsOf("")).toBe(0);
    for (const deep of ["[".repeat(2e4), "{".repeat(2e4), "- ".repeat(2e4), "? ".repeat(2e4)]) {
      expect(levelsOf(deep)).toBeGreaterThan(5e3);
    }
    expect(levelsOf(`${"[".repeat(5000)}${"]".repeat(5000)}`)).toBeGreaterThanOrEqual(5000);
  });

  it("levelsOf(text) does not take brackets in texts and remarks for lists", () => {
    expect(levelsOf(`set: "${"[".repeat(500)}" # ${"{".repeat(500)}\n`)).toBeLessThan(5);
  });

  it("levelsOf(text) of a series file is far below what is refused", () => {
    expect(levelsOf(STARTER_SERIES)).toBeLessThan(MOST_LEVELS / 4);
  });
});

describe("readSeries", () => {
  it("readSeries(text) refuses levels beyond reason, and aliases that unfold to too much or lead nowhere", () => {
    expect(() => readSeries("- ".repeat(200))).toThrow(/more than 50 levels of lists and maps/);
    expect(() => readSeries("set: *nowhere\n")).toThrow(/the aliases \(\*\) of this file lead nowhere/);
  });
});
