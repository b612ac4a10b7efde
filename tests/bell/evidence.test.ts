import { describe, expect, test } from "vitest";
import { levelOdds, longestRingOdds, strayModel } from "../../src/bell/evidence.ts";

describe("strayModel(logFrequency, levelDb)", () => {
  test("strayModel() of nothing is empty", () => {
    expect(strayModel(new Float64Array(0), new Float64Array(0)).density).toHaveLength(0);
  });

  test("strayModel() of one partial has a density of at least 1", () => {
    const { density, all } = strayModel(Float64Array.of(6), Float64Array.of(0));
    expect(all[0]).toBeGreaterThanOrEqual(1);
    expect(density[0]).toBe(all[0]);
  });

  test("strayModel() finds the density of evenly spaced partials, away from the ends", () => {
    const n = 60;
    const spaced = Float64Array.from({ length: n }, (_, i) => 5 + 0.05 * i);
    const { all } = strayModel(spaced, new Float64Array(n));
    // 20 per unit; the window of width 1 holds 20 or 21, over a width widened by 0.2.
    expect(all[30]).toBeGreaterThan(16);
    expect(all[30]).toBeLessThan(21);
  });

  test("strayModel() counts partials half a unit away, and those 6 dB below as loud", () => {
    // Both see both: two over a width of 0.5 and the 0.2 for the edges; each share is 1, as is their mean.
    const { density, all } = strayModel(Float64Array.of(6, 6.5), Float64Array.of(0, -6));
    expect(all[0]).toBeCloseTo(2 / 0.7, 12);
    expect(all[1]).toBeCloseTo(2 / 0.7, 12);
    expect([...density]).toEqual([...all]);
  });

  test("strayModel() expects fewer strays as loud as the loudest, more as weak as the weakest", () => {
    const { density, all } = strayModel(Float64Array.of(6, 6.1, 6.2, 6.3), Float64Array.of(0, -20, -30, -40));
    const share = density.map((d, i) => d / all[i]);
    expect(share[0]).toBeLessThan(share[1]);
    expect(share[1]).toBeLessThan(share[3]);
    expect(share.reduce((a, b) => a + b) / 4).toBeCloseTo(1, 12);
  });
});

describe("levelOdds(levelDb)", () => {
  test("levelOdds() is 1 at -20 dB, rises with level and stays between 1/3 and 3", () => {
    expect(levelOdds(-20)).toBe(1);
    expect(levelOdds(0)).toBe(3);
    expect(levelOdds(-90)).toBeCloseTo(1 / 3, 12);
    expect(levelOdds(-10)).toBeGreaterThan(levelOdds(-11));
  });
});

describe("longestRingOdds(decayTimeS, longestDecayTimeS)", () => {
  test("longestRingOdds() is 1 where a decay time is not known", () => {
    expect(longestRingOdds(Number.NaN, 5)).toBe(1);
    expect(longestRingOdds(0, 0)).toBe(1);
  });

  test("longestRingOdds() favours the longest and counts against a short one, within bounds", () => {
    expect(longestRingOdds(10, 10)).toBe(1.5);
    expect(longestRingOdds(5, 10)).toBe(1);
    expect(longestRingOdds(0.01, 10)).toBe(0.2);
  });
});
