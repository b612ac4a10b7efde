import { describe, expect, test } from "vitest";
import {
  asNormal,
  chiSquaredTail,
  lnGamma,
  normalTail,
  studentQuantile,
  studentTail,
} from "../../src/compare/distributions.ts";

const EVER = Number.POSITIVE_INFINITY;

describe("lnGamma(x)", () => {
  test("lnGamma(x) is ln of the factorial, and ln sqrt(pi) at one half", () => {
    expect(lnGamma(1)).toBeCloseTo(0, 13);
    expect(lnGamma(11)).toBeCloseTo(Math.log(3628800), 12);
    expect(lnGamma(0.5)).toBeCloseTo(0.5 * Math.log(Math.PI), 13);
  });
});

describe("chiSquaredTail(x, degrees)", () => {
  test("chiSquaredTail(0, degrees) is 1, far out it is 0 and no NaN", () => {
    expect(chiSquaredTail(0, 3)).toBe(1);
    expect(chiSquaredTail(1e6, 3)).toBe(0);
  });

  // Percentage points as printed in any table of the distribution (e.g. Abramowitz & Stegun, table 26.8), from memory.
  test.each([
    [3.841, 1, 0.05],
    [6.635, 1, 0.01],
    [9.488, 4, 0.05],
    [18.307, 10, 0.05],
    [23.209, 10, 0.01],
    [43.773, 30, 0.05],
  ])("chiSquaredTail(%d, %d) is %d, to the digits of the table", (x, degrees, tail) => {
    // Three printed decimals of x move the tail by less than 1 in 1000.
    expect(chiSquaredTail(x, degrees) / tail).toBeCloseTo(1, 2);
  });

  test("chiSquaredTail(x, 2) is exp(-x / 2) on both sides of the change of method", () => {
    for (const x of [0.1, 1, 2, 3.9, 4.1, 20, 200])
      expect(chiSquaredTail(x, 2) / Math.exp(-x / 2)).toBeCloseTo(1, 10);
  });
});

describe("studentTail(t, degrees)", () => {
  test("studentTail(0, degrees) is 1, far out it is small and no NaN", () => {
    expect(studentTail(0, 4)).toBe(1);
    expect(studentTail(1e9, 4)).toBeLessThan(1e-30);
    expect(normalTail(50)).toBe(0);
  });

  test("studentTail(t, 1) is 1 - 2 atan(t) / pi, the Cauchy distribution", () => {
    for (const t of [0.01, 0.5, 1, 3, 100])
      expect(studentTail(t, 1)).toBeCloseTo(1 - (2 * Math.atan(t)) / Math.PI, 12);
  });

  test("studentTail(t, degrees) ignores the sign and ends in the normal distribution", () => {
    expect(studentTail(-2, 7)).toBe(studentTail(2, 7));
    expect(studentTail(1.96, EVER)).toBeCloseTo(0.05, 4);
    expect(studentTail(1.96, 1e7)).toBeCloseTo(normalTail(1.96), 6);
  });
});

describe("studentQuantile(tail, degrees)", () => {
  // Two-sided points of any table of Student's t, from memory.
  test.each([
    [0.05, 1, 12.706],
    [0.05, 2, 4.303],
    [0.05, 4, 2.776],
    [0.01, 4, 4.604],
    [0.01, 10, 3.169],
    [0.05, 30, 2.042],
    [0.05, EVER, 1.96],
  ])("studentQuantile(%d, %d) is %d, to the digits of the table", (tail, degrees, t) => {
    expect(Math.abs(studentQuantile(tail, degrees) - t)).toBeLessThan(0.0006);
  });

  test("studentQuantile(tail, degrees) reaches far where there is one degree of freedom", () => {
    // Cauchy: t = 1 / tan(pi tail / 2).
    expect(studentQuantile(1e-4, 1) / (1 / Math.tan(Math.PI * 5e-5))).toBeCloseTo(1, 8);
  });
});

describe("asNormal(t, degrees)", () => {
  test("asNormal(t, degrees) keeps the probability, and takes off the sign", () => {
    for (const t of [0.3, 1, 2.776, -10]) {
      expect(normalTail(asNormal(t, 4)) / studentTail(t, 4)).toBeCloseTo(1, 8);
    }
    expect(asNormal(2.776, 4)).toBeCloseTo(1.96, 3);
    expect(asNormal(-3, EVER)).toBe(3);
  });

  test("asNormal(t, degrees) stays finite where the probability is no longer a number", () => {
    expect(asNormal(1e200, 200)).toBe(38);
    expect(asNormal(1e200, EVER)).toBe(38);
  });
});
