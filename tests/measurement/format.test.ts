import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { formatEstimate, formatEstimateParts } from "../../src/measurement/index.ts";

describe("formatEstimate", () => {
  test.each([
    [Number.NaN, 1],
    [1, Number.NaN],
    [Number.POSITIVE_INFINITY, 1],
    [1, Number.POSITIVE_INFINITY],
    [1, -0.1],
  ])(
    "formatEstimate(%d, %d) throws: nothing measured is null, never a word in a number's place",
    (value, ci95) => {
      expect(() => formatEstimate({ value, ci95 }, "Hz")).toThrow(RangeError);
    },
  );

  test.each([
    // an exact value
    [1, 0, "", "1"],
    [0, 0, "cents", "0 cents"],
    [0.5, 0, "", "0.5"],
    // two digits of the interval, the value to the same digit
    [440.12, 0.034, "Hz", "440.120 \u00b1 0.034 Hz"],
    [440.12, 0.34, "Hz", "440.12 \u00b1 0.34 Hz"],
    [440.12, 3.4, "Hz", "440.1 \u00b1 3.4 Hz"],
    [440.12, 34, "Hz", "440 \u00b1 34 Hz"],
    [12345, 1234, "Hz", "12300 \u00b1 1200 Hz"],
    // rounding that carries into the next digit
    [10, 0.0996, "s", "10.00 \u00b1 0.10 s"],
    [10, 0.999, "s", "10.0 \u00b1 1.0 s"],
    [10, 99.6, "s", "10 \u00b1 100 s"],
    // no negative zero
    [-0.001, 0.5, "cents", "0.00 \u00b1 0.50 cents"],
    [-3, 120, "cents", "0 \u00b1 120 cents"],
    [-12.3, 1.4, "cents", "-12.3 \u00b1 1.4 cents"],
    // an interval wider than the value
    [0.2, 5, "Hz", "0.2 \u00b1 5.0 Hz"],
    // tiny and huge share a power of ten
    [1.44e-4, 3e-6, "", "(1.440 \u00b1 0.030) \u00d7 10\u207b\u2074"],
    [2.5e9, 1e7, "", "(2.500 \u00b1 0.010) \u00d7 10\u2079"],
    [1.5e-12, 0, "s", "1.5 \u00d7 10\u207b\u00b9\u00b2 s"],
    // an interval below what a double can hold is not shown as 0
    [440, 1e-14, "Hz", "440.0000000 \u00b1 0.0000001 Hz"],
    [0, 0.02, "Hz", "0.000 \u00b1 0.020 Hz"],
  ])("formatEstimate(%d ± %d, %j) reads %j", (value, ci95, unit, text) => {
    expect(formatEstimate({ value, ci95 }, unit)).toBe(text);
  });

  test("formatEstimate moves neither number by more than half a unit of its last digit", () => {
    // Rounding at the place of the interval's second digit: 5 % of the interval at most; the interval itself
    // likewise. The cap of ten digits adds one unit of the tenth digit, 1e-9 of the value.
    fc.assert(
      fc.property(
        fc.double({ min: -1e12, max: 1e12, noNaN: true }),
        fc.double({ min: 1e-12, max: 1e12, noNaN: true }),
        (value, ci95) => {
          const parts = formatEstimateParts({ value, ci95 });
          const scale = 10 ** parts.powerOfTen;
          const slack = 0.0501 * ci95 + 1.01e-9 * Math.abs(value);
          expect(Math.abs(Number(parts.value) * scale - value)).toBeLessThanOrEqual(slack);
          expect(Math.abs(Number(parts.ci95) * scale - ci95)).toBeLessThanOrEqual(slack);
          expect(Number(parts.ci95)).toBeGreaterThan(0);
          expect(parts.value).not.toMatch(/^-0(\.0*)?$/);
        },
      ),
      { seed: 1, numRuns: 2000 },
    );
  });
});
