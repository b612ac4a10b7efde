import { describe, expect, test } from "vitest";
import { median, medianEstimate, robustLine } from "../../src/findings/robust.ts";

describe("median", () => {
  test("median of nothing is null", () => expect(median([])).toBeNull());
  test("median of an even count lies between the two in the middle", () =>
    expect(median([4, 1, 3, 2])).toBe(2.5));
  test("median leaves its list in order", () => {
    const values = [3, 1, 2];
    expect(median(values)).toBe(2);
    expect(values).toEqual([3, 1, 2]);
  });
});

describe("robustLine", () => {
  test.each([
    [[], []],
    [[1], [1]],
    [
      [1, 2],
      [1, 2],
    ],
    [
      [5, 5, 5],
      [1, 2, 3],
    ],
  ])("robustLine of x %j, y %j is null", (x, y) => expect(robustLine(x, y)).toBeNull());

  test("robustLine is not moved by one point of five", () => {
    // Of ten slopes six are those of the line, so their median is; three of five residuals are 0.
    const line = robustLine([0, 1, 2, 3, 4], [1, 3, 5, 700, 9])!;
    expect(line.slope).toBe(2);
    expect(line.intercept).toBe(1);
    expect(line.scale).toBe(0);
  });

  test("robustLine of a fine bell's loss factors agrees with numpy", () => {
    // Decay times of the D5 church bell, from memory (Rossing); slope and scale computed apart with numpy's median over
    // itertools.combinations, four digits: 0.1619 and 0.4680.
    const bell = { 293: 52, 586: 16, 693: 16, 882: 6, 1172: 3, 1465: 1.4 };
    const upper = { 1560: 3.6, 1764: 5, 2441: 4.2, 3183: 3, 3982: 2, 4813: 1 };
    const points = Object.entries({ ...bell, ...upper }).map(([f, t60]) => [
      Number(f),
      2.1988 / (Number(f) * t60),
    ]);
    const line = robustLine(
      points.map(([f]) => Math.log(f!)),
      points.map(([, loss]) => Math.log(loss!)),
    )!;
    expect(line.slope).toBeCloseTo(0.1619, 4);
    expect(line.scale).toBeCloseTo(0.468, 4);
  });
});

describe("medianEstimate", () => {
  test("medianEstimate of nothing is null", () => expect(medianEstimate([])).toBeNull());

  test("medianEstimate of one is the one", () =>
    expect(medianEstimate([{ value: 3, ci95: 0.1 }])).toEqual({ value: 3, ci95: 0.1 }));

  test("medianEstimate of scattered values is as wide as the scatter makes a median", () => {
    // Deviations 0, 1, 1, 2, 2 of 1..5: median 1; 1.96 sqrt(pi/2) 1.4826 / sqrt(5).
    const many = [5, 4, 3, 2, 1].map((value) => ({ value, ci95: 0.1 }));
    const { value, ci95 } = medianEstimate(many)!;
    expect(value).toBe(3);
    expect(ci95).toBeCloseTo((1.96 * Math.sqrt(Math.PI / 2) * 1.4826) / Math.sqrt(5), 10);
  });
});
