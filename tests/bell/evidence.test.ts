import { describe, expect, test } from "vitest";
import { levelOdds, longestRingOdds, strayModel } from "../../src/bell/evidence.ts";

describe("strayModel(logFrequency, levelDb)", () => {
  test("strayModel() of nothing is empty", () => {
    expect(strayModel(new Float64Array(0), new Float64Array(0)).density).toHaveLength(0);
  });

  test("strayModel() of one partial has a density of 1 at least, and the least share of strays", () => {
    const { density, share } = strayModel(Float64Array.of(6), Float64Array.of(0));
    // One, over the least width of 0.6.
    expect(density[0]).toBeCloseTo(1 / 0.6, 12);
    expect(share[0]).toBeCloseTo(0.2, 12);
  });

  test("strayModel() finds the density of evenly spaced partials, away from the ends", () => {
    const n = 60;
    const spaced = Float64Array.from({ length: n }, (_, i) => 5 + 0.05 * i);
    const { density, share } = strayModel(spaced, new Float64Array(n));
    // 20 per unit; the window of width 1 holds 20 or 21, over a width widened by 0.2. Four of them are the bell's own.
    expect(density[30]).toBeGreaterThan(16);
    expect(density[30]).toBeLessThan(21);
    expect(share[30]).toBeCloseTo(1 - 4 / 20.5, 1);
  });

  test("strayModel() counts partials half a unit away, and those 6 dB below as loud", () => {
    // Both see both: two over a width of 0.5 and the 0.2 for the edges.
    const { density } = strayModel(Float64Array.of(6, 6.5), Float64Array.of(0, -6));
    expect([...density].map((d) => d * 0.7)).toEqual([expect.closeTo(2, 12), expect.closeTo(2, 12)]);
  });

  test("strayModel() of a strong partial does not change with the number of weak ones around it", () => {
    const strong = [6, 6.3, 6.9];
    const weak = Array.from({ length: 100 }, (_, i) => 6 + 0.009 * i);
    const alone = strayModel(Float64Array.from(strong), new Float64Array(3));
    const all = [...strong.map((f) => [f, 0]), ...weak.map((f) => [f, -40])].sort((a, b) => a[0] - b[0]);
    const among = strayModel(
      Float64Array.from(all, ([f]) => f),
      Float64Array.from(all, ([, db]) => db),
    );
    all.forEach(([f, db], i) => {
      if (db === 0) expect(among.density[i]).toBeCloseTo(alone.density[strong.indexOf(f)], 12);
      // A weak one may be anything.
      else expect(among.share[i]).toBe(1);
    });
  });
});

describe("levelOdds(levelDb)", () => {
  test("levelOdds() is 1 at -19 dB, rises with level and stays between 0.12 and 1.5", () => {
    expect(levelOdds(-19)).toBe(1);
    expect(levelOdds(0)).toBe(1.5);
    expect(levelOdds(-90)).toBeCloseTo(0.12, 12);
    expect(levelOdds(-20)).toBeGreaterThan(levelOdds(-21));
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
