import { describe, expect, it } from "vitest";
import { meanOfCorrelated, studentT975, widening } from "../../src/strike/correlated.ts";
import { makeRandom } from "../support/synthetic/index.ts";

describe("studentT975", () => {
  // Abramowitz & Stegun, table 26.10 (from memory): 97.5 % points of t.
  it.each([
    [1, 12.706],
    [2, 4.303],
    [3, 3.182],
    [5, 2.571],
    [9, 2.262],
    [30, 2.042],
    [Number.POSITIVE_INFINITY, 1.96],
  ])("studentT975(%f) is %f within 1 %%", (degrees, value) => {
    expect(Math.abs(studentT975(degrees) / value - 1)).toBeLessThan(0.01);
  });
});

describe("widening", () => {
  it("widening() of nothing, of zeros and of alternating residuals is 1", () => {
    expect(widening([])).toBe(1);
    expect(widening([0, 0, 0])).toBe(1);
    expect(widening([1, -1, 1, -1])).toBe(1);
  });

  it("widening() of a first-order autoregression is that of its correlation", () => {
    const random = makeRandom(1);
    let last = 0;
    const series = Float64Array.from({ length: 20000 }, () => {
      last = 0.5 * last + random.normal();
      return last;
    });
    // sqrt((1 + 0.5) / (1 - 0.5)); the correlation of 20,000 values is known to 0.7 % (sd).
    expect(widening(series)).toBeCloseTo(Math.sqrt(3), 1);
  });
});

describe("meanOfCorrelated", () => {
  it("meanOfCorrelated() of fewer than two values is null", () => {
    expect(meanOfCorrelated([])).toBeNull();
    expect(meanOfCorrelated([1])).toBeNull();
  });

  it("meanOfCorrelated() gives intervals that hold the mean as often as they say, of independent values and of correlated ones", () => {
    for (const correlation of [0, 0.4]) {
      const random = makeRandom(7);
      let held = 0;
      const trials = 400;
      for (let i = 0; i < trials; i++) {
        let last = random.normal() / Math.sqrt(1 - correlation ** 2);
        const values = Array.from({ length: 40 }, () => {
          last = correlation * last + random.normal();
          return 3 + last;
        });
        const { value, ci95 } = meanOfCorrelated(values)!;
        if (Math.abs(value - 3) < ci95) held++;
      }
      // 95 % of 400 give or take 1.1 % (sd); the lag-one correlation of 40 residuals comes out low by about 0.04 on average.
      expect(held / trials).toBeGreaterThan(0.9);
      expect(held / trials).toBeLessThan(0.985);
    }
  });
});
