import { describe, expect, it } from "vitest";
import { relativeCi95, studentT95 } from "../../src/foundry/estimate.ts";

describe("relativeCi95", () => {
  it("relativeCi95 of an exact nought is nought, and of a value below it counts its size", () => {
    expect(relativeCi95({ value: 0, ci95: 0 })).toBe(0);
    expect(relativeCi95({ value: -4, ci95: 1 })).toBe(0.25);
  });
});

describe("studentT95", () => {
  // Quantiles as every table of the distribution prints them, to half a unit of the third decimal.
  it.each([
    [1, 12.706],
    [2, 4.303],
    [30, 2.042],
    [31, 2.0395],
    [40, 2.021],
    [60, 2.0],
    [120, 1.98],
  ])("studentT95(%d degrees of freedom) is %d", (dof, t) => {
    expect(Math.abs(studentT95(dof) - t)).toBeLessThanOrEqual(0.0005);
  });
});
