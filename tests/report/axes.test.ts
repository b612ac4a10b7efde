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
  test("levelAxis(title, level, level) still has a height", () => {
    const axis = levelAxis("level", 0, 0);
    expect(axis.max).toBeGreaterThan(axis.min);
  });

  test("levelAxis(title, low, high) ends on whole tens around both, marked every 20 dB with a true minus", () => {
    const axis = levelAxis("level", -83, 4.5);
    expect([axis.min, axis.max]).toEqual([-90, 10]);
    expect(axis.ticks!.map(({ text }) => text)).toEqual([
      "\u221280",
      "\u221260",
      "\u221240",
      "\u221220",
      "0",
    ]);
  });

  test("levelAxis(title, low, high) marks every 10 dB of a short range and spends no room on a rounding", () => {
    const axis = levelAxis("level", -40, 0.02);
    expect([axis.min, axis.max]).toEqual([-40, 0]);
    expect(axis.ticks!.map(({ at }) => at)).toEqual([-40, -30, -20, -10, 0]);
  });
});
