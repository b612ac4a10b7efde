import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { REGISTER } from "../../src/compare/findings/register.ts";
import { largestAlloyShiftCents } from "../../src/compare/material.ts";
import thresholds from "../../src/compare/thresholds.json" with { type: "json" };

const text = readFileSync(new URL("../../docs/compare.md", import.meta.url), "utf8");
const rowsOf = (names: string[]) =>
  text.split("\n").filter((line) => names.some((name) => line.startsWith(`| ${name} |`)));

describe("docs/compare.md", () => {
  test("findings stand in the docs in the order of the register", () => {
    const ids = REGISTER.map(({ id }) => id);
    expect(rowsOf(ids).map((line) => line.split(" | ")[0].slice(2))).toEqual(ids);
  });

  test("thresholds stand in the docs as in the data, each with a source and a use", () => {
    expect(rowsOf(Object.keys(thresholds))).toEqual(
      Object.entries(thresholds).map(
        ([name, { value, unit, meaning, source }]) =>
          `| ${name} | ${`${value} ${unit}`.trim()} | ${meaning} | ${source} |`,
      ),
    );
    const prose = text.slice(0, text.indexOf("| name | value |"));
    expect(Object.keys(thresholds).filter((name) => !prose.includes(name))).toEqual([]);
    expect(Object.values(thresholds).filter(({ source }) => source.length < 10)).toEqual([]);
  });

  test("the span of alloys in the docs is that of the data sheets", () => {
    expect(text).toContain(`(${Math.round(largestAlloyShiftCents())} cents`);
  });
});
