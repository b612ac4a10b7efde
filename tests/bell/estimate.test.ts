import { describe, expect, test } from "vitest";
import { cents, centsAbove, quotient, scaled } from "../../src/bell/estimate.ts";

describe("cents(a, b)", () => {
  test("cents(a, a) is 0 and cents(b, a) is the negative of cents(a, b)", () => {
    expect(cents(440, 440)).toBe(0);
    expect(cents(3, 2)).toBeCloseTo(-cents(2, 3), 12);
  });

  test("cents(a, b) gives the five-point example: a hum of 215 Hz under a nominal of 800 Hz is 125.20 cents sharp", () => {
    // Keltek Trust, Sound of Bells: hum 0.25 of the nominal, "125 cents"; 125.20 computed.
    expect(cents(215, 800 * 0.25)).toBeCloseTo(125.2, 2);
  });

  test("cents(a, b) gives 694.8 and 1273.2 cents for the tubular modes 121 : 81 and 169 : 81", () => {
    // Computed in two decimals for this project; encyclopaedia article after Rossing gives the ratios.
    expect(cents(121, 81)).toBeCloseTo(694.8, 1);
    expect(cents(169, 81)).toBeCloseTo(1273.2, 1);
  });
});

describe("quotient(a, b), scaled(estimate, factor), centsAbove(estimate, reference)", () => {
  test("quotient(a, b) adds the relative intervals in squares", () => {
    const ratio = quotient({ value: 300, ci95: 3 }, { value: 100, ci95: 1 });
    expect(ratio.value).toBe(3);
    expect(ratio.ci95).toBeCloseTo(3 * Math.hypot(0.01, 0.01), 12);
  });

  test("quotient(a, b) keeps the interval of b where a is 0", () => {
    expect(quotient({ value: 0, ci95: 2 }, { value: 4, ci95: 1 })).toEqual({ value: 0, ci95: 0.5 });
  });

  test("scaled(estimate, factor) never has a negative interval", () => {
    expect(scaled({ value: 2, ci95: 0.5 }, -3)).toEqual({ value: -6, ci95: 1.5 });
  });

  test("centsAbove(estimate, reference) agrees with the cents at the ends of the interval", () => {
    const above = centsAbove({ value: 441, ci95: 0.01 }, 440);
    expect(above.value).toBeCloseTo(cents(441, 440), 12);
    // Second order of the logarithm: 1731 x (0.01/441)^2 / 2 is below 1e-6 cents.
    expect(above.ci95).toBeCloseTo(cents(441.01, 441), 5);
  });
});
