import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { REGISTER } from "../../src/findings/register.ts";
import thresholds from "../../src/findings/thresholds.json" with { type: "json" };

const lines = readFileSync(new URL("../../docs/findings.md", import.meta.url), "utf8").split("\n");
const rowsOf = (names: string[]) =>
  lines.filter((line) => names.some((name) => line.startsWith(`| ${name} |`)));

describe("docs/findings.md", () => {
  test("findings stand in the docs in the order of the register, with what they need", () => {
    const rows = rowsOf(REGISTER.map((rule) => rule.id)).map((line) =>
      line.split(" | ").slice(0, 2).join(" | "),
    );
    expect(rows).toEqual(
      REGISTER.map(({ id, needs, uses }) => {
        const also = uses.length === 0 ? "" : ` (${uses.join(", ")})`;
        return `| ${id} | ${needs.join(", ")}${also}`;
      }),
    );
  });

  test("thresholds stand in the docs as in the data, each with a source", () => {
    expect(rowsOf(Object.keys(thresholds))).toEqual(
      Object.entries(thresholds).map(
        ([name, { value, unit, meaning, source }]) =>
          `| ${name} | ${`${value} ${unit}`.trim()} | ${meaning} | ${source} |`,
      ),
    );
    expect(Object.values(thresholds).filter(({ source }) => source.length < 10)).toEqual([]);
  });

  test("thresholds are each named by a finding in the docs", () => {
    const named = rowsOf(REGISTER.map((rule) => rule.id)).join();
    expect(Object.keys(thresholds).filter((name) => !named.includes(name))).toEqual([]);
  });
});
