import { describe, expect, it } from "vitest";
import { makeRandom } from "../support/synthetic/index.ts";
import { analysed, cut, inventedSet } from "./invented-sets.ts";

/** 84 sets of twelve: 1008 bells. */
const SETS = 84;

/** Five standard deviations of the binomial law beside the stated share: one false alarm in a million. */
const most = (n: number, share: number) => n * share + 5 * Math.sqrt(n * share * (1 - share));

/** What went how in 1008 bells whose truth is known. */
function simulate() {
  const random = makeRandom(20260501);
  const count = {
    bells: 0,
    cuts: 0,
    past: 0,
    values: 0,
    missed: 0,
    slopes: 0,
    wrong: 0,
    outcomes: 0,
    outside: 0,
  };
  const error: number[] = [];
  let byTarget = 0;
  for (let set = 0; set < SETS; set++) {
    const truth = inventedSet(random);
    analysed(truth, random).bells.forEach((bell, i) => {
      const { cents, slope } = truth[i]!;
      const now = cents.at(-1)!;
      count.bells++;
      bell.passes.forEach(({ partials }, pass) => {
        for (const { name, deviationCents: d } of partials) {
          count.values++;
          if (Math.abs(d.value - cents[pass]![name]!) > d.ci95) count.missed++;
        }
      });
      for (const { partial, centsPerG } of bell.sensitivity) {
        count.slopes++;
        error.push(centsPerG!.value / slope[partial]! - 1);
        if (Math.abs(centsPerG!.value - slope[partial]!) > centsPerG!.ci95) count.wrong++;
      }
      if (bell.nextCut === null) return;
      count.cuts++;
      if (bell.nextCut.limitedBy === "its target") byTarget++;
      const after = cut({ slope }, now, bell.nextCut.removeG!, random);
      const kept = bell.nextCut.outcomes.filter(({ staysShort }) => staysShort);
      if (kept.some(({ partial }) => after[partial]! * now[partial]! < 0)) count.past++;
      for (const { partial, predictedCents: p } of bell.nextCut.outcomes) {
        count.outcomes++;
        if (Math.abs(after[partial]! - p.value) > p.ci95) count.outside++;
      }
    });
  }
  return { ...count, byTarget, medianError: error.sort((a, b) => a - b)[error.length >> 1]! };
}

describe("analyseSeries over 1008 invented bells", () => {
  const seen = simulate();

  it("analyseSeries states intervals that hold the true deviations, 95 in 100", () => {
    expect(seen.values).toBe(SETS * 12 * 4 * 5);
    expect(seen.missed).toBeLessThanOrEqual(most(seen.values, 0.05));
    // Nor are they wider than need be: the half-width is that of the errors put in.
    expect(seen.missed).toBeGreaterThanOrEqual(2 * seen.values * 0.05 - most(seen.values, 0.05));
  });

  it("analyseSeries recovers each bell's sensitivity within its interval, 95 in 100, and none to one side", () => {
    expect(seen.slopes).toBe(SETS * 12 * 5);
    expect(seen.wrong).toBeLessThanOrEqual(most(seen.slopes, 0.05));
    // Errors of single slopes are about 10 %; the median of 5040, in groups of twelve that share their common slope,
    // has a standard error below 0.1 x 1.25 / sqrt(420) = 0.6 %.
    expect(Math.abs(seen.medianError)).toBeLessThan(5 * 0.006);
  });

  it("analyseSeries recommends cuts that take a partial past its target in no more than 5 of 100", () => {
    // Most bells get a cut, and most cuts go as far as the target lets them: the rule was put to the test.
    expect(seen.cuts).toBeGreaterThan(0.9 * seen.bells);
    expect(seen.byTarget).toBeGreaterThan(0.8 * seen.cuts);
    expect(seen.past).toBeLessThanOrEqual(most(seen.cuts, 0.05));
    // By the sum of the chances the true share is at most 5 %; here even without the slack of the law.
    expect(seen.past / seen.cuts).toBeLessThanOrEqual(0.05);
  });

  it("analyseSeries predicts outcomes within their interval, 95 in 100", () => {
    expect(seen.outside).toBeLessThanOrEqual(most(seen.outcomes, 0.05));
  });
}, 60_000);
