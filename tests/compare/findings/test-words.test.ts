import { describe, expect, test } from "vitest";
import { scatterEvidence, testTable, testWords } from "../../../src/compare/findings/test-words.ts";

const copies = {
  kind: "common" as const,
  statistic: 0.0000781,
  degreesOfFreedom: 6,
  pValue: 1,
  pValueOfMean: 1e-9,
  moved: [],
};

describe("scatterEvidence", () => {
  test("scatterEvidence of no scatter beyond the intervals shows none: it is not known to be nothing", () => {
    expect(scatterEvidence(0, 8, "cents")).toEqual([]);
  });

  test("scatterEvidence(sd, count, unit) has the interval of a standard deviation from so many values", () => {
    // 1.96 sd / sqrt(2 (n - 1)) of 9 values is 0.49 sd.
    const [evidence] = scatterEvidence(2, 9, "cents");
    expect(evidence).toMatchObject({ kind: "number", value: 2, unit: "cents" });
    expect(evidence).toHaveProperty("ci95", expect.closeTo(0.98, 3));
  });
});

describe("testWords", () => {
  test("testWords and testTable show a statistic of two copies alike", () => {
    expect(testWords(copies)).toMatch(/^X² < 0\.01 on 6 degrees of freedom/);
    expect(testTable("x", copies)).toMatchObject({ rows: [["< 0.01", 6, "p = 1.0", "p < 0.001"]] });
  });
});
