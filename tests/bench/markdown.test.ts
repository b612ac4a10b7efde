import { describe, expect, it } from "vitest";
import { decimals, markdownTable } from "./markdown.ts";
import { timeRuns, timingOf } from "./timing.ts";

describe("decimals", () => {
  it("decimals(nothing measured) is a dash", () => {
    expect([null, Number.NaN, Number.POSITIVE_INFINITY].map((v) => decimals(v, 2))).toEqual(["-", "-", "-"]);
  });

  it("decimals(value, digits) rounds", () => {
    expect(decimals(1.005e2, 1)).toBe("100.5");
  });
});

describe("markdownTable", () => {
  it("markdownTable(head, rows) pads to the widest cell, numbers to the right", () => {
    expect(markdownTable(["a", "bb"], [["long", "1"]])).toBe(
      "| a    |  bb |\n| ---- | --: |\n| long |   1 |",
    );
  });
});

describe("timingOf", () => {
  it("timingOf(times) has their least, mean and sample standard deviation; of one time no spread", () => {
    expect(timingOf([3, 1, 2])).toEqual({ runs: 3, minMs: 1, meanMs: 2, sdMs: 1 });
    expect(timingOf([5])).toEqual({ runs: 1, minMs: 5, meanMs: 5, sdMs: 0 });
  });

  it("timeRuns(run) calls it warmUp + runs times and times the last ones", () => {
    let calls = 0;
    const timing = timeRuns(() => calls++, { warmUp: 2, runs: 3 });
    expect(calls).toBe(5);
    expect(timing.runs).toBe(3);
  });
});
