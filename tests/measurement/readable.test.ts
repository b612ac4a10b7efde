import { describe, expect, it } from "vitest";
import { type Quantity, quantityOf, readable, showEstimate } from "../../src/measurement/index.ts";
import { estimate } from "../support/sample-parts.ts";

describe("readable", () => {
  it("readable(estimate, quantity) leaves an exact value exact and a wide interval as it is", () => {
    expect(readable(estimate(2, 0), "cents")).toEqual(estimate(2, 0));
    expect(readable(estimate(2, 3), "cents")).toEqual(estimate(2, 3));
  });

  it.each<[Quantity, number, number]>([
    ["frequency", 500, 0.001],
    ["cents", 12, 0.1],
    // A thousandth of the decay, and of a second at least.
    ["time", 8, 0.008],
    ["time", 0.2, 0.001],
    ["level", -20, 0.1],
    ["interval", 2, 0.0002],
    ["damping", -5000, 5],
    ["times", 2, 0.02],
    ["percent", 1, 0.001],
    ["phase", 3, 0.001],
  ])("readable(estimate, %j) shows %d no surer than %d", (quantity, value, finest) => {
    expect(readable(estimate(value, finest / 100), quantity).ci95).toBeCloseTo(finest, 12);
    expect(readable(estimate(value, finest * 100), quantity).ci95).toBe(finest * 100);
  });

  it("readable(estimate, 'other') shows what the user told as surely as it is known", () => {
    expect(readable(estimate(4.2, 1e-6), "other")).toEqual(estimate(4.2, 1e-6));
  });
});

describe("quantityOf", () => {
  it("quantityOf(unit) tells hertz, cents, seconds, decibels and per cent, and no other", () => {
    expect(["Hz", "beats a second", "cents", "s", "dB", "%", "kg", ""].map(quantityOf)).toEqual([
      ...["frequency", "frequency", "cents", "time", "level", "percent", "other", "other"],
    ]);
  });
});

describe("showEstimate", () => {
  it("showEstimate throws where the measurement broke its promise of finite numbers", () => {
    expect(() => showEstimate(estimate(Number.NaN, 1), "Hz")).toThrow(RangeError);
    expect(() => showEstimate(estimate(1, Number.POSITIVE_INFINITY), "Hz")).toThrow(RangeError);
  });

  it("showEstimate(estimate, unit) takes the quantity from the unit, or as it is told", () => {
    expect(showEstimate(estimate(0.79998, 0.000065), "Hz")).toBe("0.8000 \u00b1 0.0010 Hz");
    expect(showEstimate(estimate(0.79998, 0.000065), "", "frequency")).toBe("0.8000 \u00b1 0.0010");
    expect(showEstimate(estimate(2.1406, 0.0003), "", "times")).toBe("2.141 \u00b1 0.021");
  });
});
