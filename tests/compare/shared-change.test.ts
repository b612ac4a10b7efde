import { describe, expect, test } from "vitest";
import type { Change } from "../../src/compare/change.ts";
import { sharedChange } from "../../src/compare/shared-change.ts";
import { makeRandom } from "../support/synthetic/random.ts";

const changes = (values: number[], sds: number[]): Change[] =>
  values.map((value, i) => {
    return { value, sd: sds[i], degrees: Number.POSITIVE_INFINITY, strikeSd: null };
  });
const alike = (values: number[], sd = 1) =>
  changes(
    values,
    values.map(() => sd),
  );

describe("sharedChange(changes, correlated)", () => {
  test("sharedChange(changes, correlated) of one change cannot scatter", () => {
    const one = sharedChange(alike([9]), false);
    expect(one.kind).toBe("common");
    expect(one).toMatchObject({ degreesOfFreedom: 0, pValue: 1, moved: [], scatter: 0 });
    expect(sharedChange(alike([0.5]), false).kind).toBe("none");
  });

  test("sharedChange(changes, correlated) weighs by inverse variance", () => {
    const { mean, kind } = sharedChange(changes([10, 12], [1, 2]), false);
    expect(kind).toBe("common");
    expect(mean.value).toBeCloseTo((10 / 1 + 12 / 4) / (1 + 1 / 4), 9);
    expect(mean.ci95).toBeCloseTo(1.96 / Math.sqrt(1.25), 3);
  });

  test("sharedChange(changes, true) is no surer of sixteen partials than of one", () => {
    const values = Array.from({ length: 16 }, () => 10);
    expect(sharedChange(alike(values), false).mean.ci95).toBeCloseTo(1.96 / 4, 3);
    expect(sharedChange(alike(values), true).mean.ci95).toBeCloseTo(1.96, 3);
  });

  test("sharedChange(changes, correlated) tells the one that moved, even where it is by far the surest", () => {
    const { kind, moved, mean } = sharedChange(
      changes([5, 5.5, 4.6, 5.2, 4.9, 40], [1, 1, 1, 1, 1, 0.01]),
      false,
    );
    expect(kind).toBe("some");
    expect(moved).toEqual([5]);
    expect(mean.value).toBeCloseTo(5.04, 6);
  });

  test("sharedChange(changes, correlated) calls it scatter where more than a third left, with a robust mean", () => {
    const { kind, mean, scatter, moved } = sharedChange(alike([-30, -12, -4, 0, 7, 15, 24, 900]), false);
    expect(kind).toBe("scatter");
    expect(moved).toEqual([]);
    // The value far out has no weight; without it the mean of the seven is 0.
    expect(Math.abs(mean.value)).toBeLessThan(mean.ci95);
    expect(mean.ci95).toBeLessThan(40);
    expect(scatter).toBeGreaterThan(10);
    expect(scatter).toBeLessThan(40);
  });

  test("sharedChange(changes, correlated) calls it both where the shift is the larger part", () => {
    const values = [95, 97, 99, 100, 102, 103, 107];
    expect(sharedChange(alike(values, 0.1), false).kind).toBe("common and scatter");
    expect(sharedChange(alike(values, 10), false).kind).toBe("common");
  });

  test("sharedChange(changes, correlated) has a statistic that is chi-squared where all share one change", () => {
    const random = makeRandom(8);
    const trials = 2000;
    let below = 0;
    let sum = 0;
    for (let i = 0; i < trials; i++) {
      const sds = Array.from({ length: 8 }, () => random.logBetween(0.1, 10));
      const { statistic, pValue } = sharedChange(
        changes(
          sds.map((sd) => 3 + sd * random.normal()),
          sds,
        ),
        false,
      );
      sum += statistic;
      if (pValue < 0.1) below++;
    }
    // Mean 7, standard deviation sqrt(14): four standard errors of 2,000; and 10 % of 2,000 within four of sqrt(180).
    expect(Math.abs(sum / trials - 7)).toBeLessThan(4 * Math.sqrt(14 / trials));
    expect(Math.abs(below - 200)).toBeLessThan(4 * Math.sqrt(180));
  });
});
