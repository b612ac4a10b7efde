import { describe, expect, test } from "vitest";
import { alignment, explains } from "../../src/compare/alignment.ts";
import { estimate } from "../support/sample-parts.ts";

const partials = (hertz: number[]) =>
  hertz.map((f) => ({ frequencyHz: estimate(f, 0.01), levelDb: estimate(0, 0.1) }));
const cents = (c: number) => 2 ** (c / 1200);
const BELL = [300, 621, 728, 903, 1222, 1871, 2560];

describe("alignment(a, b)", () => {
  test("alignment(a, b) of nothing, or of too little to be no chance, is null", () => {
    expect(alignment([], partials(BELL))).toBeNull();
    expect(alignment(partials([300, 500]), partials([300, 500]))).toBeNull();
  });

  test("alignment(a, b) finds the shift of a whole bell, up or down, and all of it meets", () => {
    for (const shift of [0, 38, -170, 702]) {
      const found = alignment(partials(BELL), partials(BELL.map((f) => f * cents(shift))))!;
      expect(found.cents).toBeCloseTo(shift, 9);
      expect(found.matched).toBe(BELL.length);
      expect(explains(found)).toBe(true);
    }
  });

  test("alignment(a, b) bears partials that are there only once, and one that moved", () => {
    const other = [...BELL.slice(1, 5), 1871 * cents(60), 2560, 3333].map((f) => f * cents(25));
    const found = alignment(partials(BELL), partials(other))!;
    expect(found.cents).toBeCloseTo(25, 9);
    expect(found.matched).toBe(5);
  });

  test("alignment(a, b) of two unlike bells explains little, whatever meets by chance", () => {
    // Ratios of a free bar (Euler-Bernoulli) against those of the bell.
    const found = alignment(partials(BELL), partials([300, 827, 1621, 2680, 4003, 5591]));
    expect(found === null || !explains(found)).toBe(true);
  });
});
