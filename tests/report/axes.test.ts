import { describe, expect, test } from "vitest";
import { extent, frequencyTicks, levelAxis, logSteps, roundUp } from "../../src/report/axes.ts";

describe("extent", () => {
  test("extent(values) of nothing finite is null", () => {
    expect(extent([])).toBeNull();
    expect(extent([Number.NaN, Number.POSITIVE_INFINITY])).toBeNull();
  });

  test("extent(values) skips what is not finite", () => {
    expect(extent([3, Number.NaN, -1, Number.NEGATIVE_INFINITY])).toEqual([-1, 3]);
  });
});

describe("logSteps", () => {
  test("logSteps(max, min) reversed is empty", () => {
    expect(logSteps(100, 10)).toEqual([]);
  });

  test("logSteps(min, max) holds both ends where they are steps", () => {
    expect(logSteps(20, 1000)).toEqual([20, 50, 100, 200, 500, 1000]);
    expect(logSteps(0.3, 4)).toEqual([0.5, 1, 2]);
  });
});

describe("frequencyTicks", () => {
  test("frequencyTicks(min, max) writes thousands short", () => {
    expect(frequencyTicks(400, 2500).map(({ text }) => text)).toEqual(["500", "1k", "2k"]);
  });
});

describe("roundUp", () => {
  test.each([
    [0.9, 1],
    [1, 1],
    [20, 20],
    [21, 25],
    [73, 100],
    [260, 500],
  ])("roundUp(%d) is %d", (size, rounded) => {
    expect(roundUp(size)).toBeCloseTo(rounded, 9);
  });
});

describe("levelAxis", () => {
  test("levelAxis(title, low, high) holds both levels between whole steps, marked with a true minus", () => {
    const axis = levelAxis("level", -83, 3);
    expect([axis.min, axis.max]).toEqual([-100, 20]);
    expect(axis.ticks!.map(({ text }) => text)).toEqual([
      "\u2212100",
      "\u221280",
      "\u221260",
      "\u221240",
      "\u221220",
      "0",
      "20",
    ]);
  });

  test("levelAxis(title, level, level) still has a height", () => {
    const axis = levelAxis("level", 0, 0);
    expect(axis.max).toBeGreaterThan(axis.min);
  });
});
