import { describe, expect, test } from "vitest";
import { terminalCompare } from "../../../src/report/index.ts";
import { cellWidth } from "../../../src/report/terminal/cells.ts";
import { HOSTILE } from "../support/hostile.ts";
import { nothingInCommon, singleStrikes, threeCastings, twoAlloys } from "./compared.ts";

const plain = { width: 80, colour: false };

describe("terminalCompare(comparison, look)", () => {
  test("terminalCompare of castings with nothing in common ends in words", () => {
    const text = terminalCompare(nothingInCommon().comparison, plain);
    expect(text).toContain("not measurable");
    expect(text).not.toMatch(/NaN|undefined|null/);
  });

  test("terminalCompare begins with what was invented, the castings and the result", () => {
    const text = terminalCompare(twoAlloys().comparison, plain);
    expect(text).toMatch(/^Invented, synthetic\. No such bell was cast\.\n/);
    expect(text).toContain("A (first heat): Cu90Sn10, 4.000 ± 0.010 kg, mouth 200.00 ± 0.50 mm, 2 strikes");
    expect(text.replace(/\s+/g, " ")).toMatch(
      /B rings 2\.\d+ ± \S+ times as long as A in its four lowest partials and 1\.\d+ ± \S+ times in its three highest partials, more than strike-to-strike spread; B is 38\.01 ± 0\.10 cents higher throughout, so the material changed, not the shape\./,
    );
    expect(text).toMatch(/hum +\+38\.01 ±0\.10 .* yes/);
    expect(text).toMatch(/A, near Hz: quint 786\.2/);
    expect(text.endsWith("\n")).toBe(true);
  });

  test("terminalCompare marks with ? what one strike cannot tell", () => {
    const text = terminalCompare(singleStrikes().comparison, plain);
    expect(text).toMatch(/hum .* \?/);
    expect(text.replace(/\s+/g, " ")).toContain("? where only one strike was recorded");
  });

  test("terminalCompare gives three castings one after the other", () => {
    const text = terminalCompare(threeCastings().comparison, plain);
    expect(text.indexOf("B over A")).toBeGreaterThan(0);
    expect(text.indexOf("C over A")).toBeGreaterThan(text.indexOf("B over A"));
    expect(text).toMatch(/^A \(second heat\)/);
  });

  test.each([40, 60, 80, 100])("terminalCompare keeps to %d cells, and colours nothing unasked", (width) => {
    for (const { comparison } of [twoAlloys(), singleStrikes(), threeCastings(), nothingInCommon()]) {
      const text = terminalCompare(comparison, { width, colour: false });
      for (const line of text.split("\n")) expect(cellWidth(line), line).toBeLessThanOrEqual(width);
      expect(text).not.toContain("\u001b");
    }
  });

  test("terminalCompare lets no label move the cursor", () => {
    const { comparison } = twoAlloys();
    comparison.castings[0].label = `${HOSTILE}\u001b[2J\u202e`;
    const text = terminalCompare(comparison, plain);
    for (const character of ["\u001b", "\u202e"]) expect(text).not.toContain(character);
  });
});
