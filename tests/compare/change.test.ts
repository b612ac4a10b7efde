import { describe, expect, test } from "vitest";
import { type Change, changed, changeOf, intervalOf, normalSd, scoreOf } from "../../src/compare/change.ts";

const EVER = Number.POSITIVE_INFINITY;
const change = (value: number, sd: number, degrees = EVER): Change => ({
  value,
  sd,
  degrees,
  strikeSd: null,
});

describe("changeOf(value, a, b)", () => {
  test("changeOf(value, a, b) without any error keeps the model's own, 0.05 cents, and no NaN", () => {
    const exact = { strikeSd: 0, sd: 0, degrees: 4 };
    expect(changeOf(0, exact, exact)).toEqual({
      value: 0,
      sd: expect.closeTo((0.05 * Math.LN2) / 1200, 12),
      degrees: EVER,
      strikeSd: 0,
    });
    expect(scoreOf(changeOf(0, exact, exact))).toBe(0);
    expect(scoreOf(changeOf(1e-2, exact, exact))).toBe(38);
  });

  test("changeOf(value, a, b) adds errors in quadrature, with Welch's degrees of freedom", () => {
    const a = { strikeSd: 3, sd: 3, degrees: 4 };
    expect(changeOf(1, a, a).sd).toBeCloseTo(Math.sqrt(18), 8);
    // Equal variances on equal degrees: the degrees add up.
    expect(changeOf(1, a, a).degrees).toBeCloseTo(8, 8);
    // One side alone: its own degrees.
    expect(changeOf(1, a, { strikeSd: 0, sd: 0, degrees: 4 }).degrees).toBeCloseTo(4, 8);
  });

  test("changeOf(value, a, b) knows no spread where one side knows none", () => {
    const known = { strikeSd: 3, sd: 1, degrees: 4 };
    expect(changeOf(1, known, { strikeSd: null, sd: 1, degrees: EVER }).strikeSd).toBeNull();
    expect(changeOf(1, known, known).strikeSd).toBe(3);
  });
});

describe("intervalOf(change)", () => {
  test("intervalOf(change) widens with few degrees of freedom", () => {
    expect(intervalOf(change(5, 2)).ci95).toBeCloseTo(3.92, 2);
    // Student's t, two-sided 95 %, four degrees: 2.776.
    expect(intervalOf(change(5, 2, 4)).ci95).toBeCloseTo(2 * 2.776, 2);
    expect(normalSd(change(5, 2, 4))).toBeCloseTo((2 * 2.776) / 1.96, 2);
  });
});

describe("changed(changes, falseAlarm)", () => {
  test("changed([], falseAlarm) names nothing", () => {
    expect(changed([], 0.05)).toEqual([]);
  });

  test("changed(changes, falseAlarm) names what stands out of all, not what would alone", () => {
    // z = 2.2 alone has p = 0.028; among twenty it is to be expected.
    const quiet = Array.from({ length: 19 }, () => change(0.1, 1));
    expect(changed([change(2.2, 1)], 0.05)).toEqual([true]);
    expect(changed([change(2.2, 1), ...quiet], 0.05)[0]).toBe(false);
    expect(changed([...quiet, change(-5, 1)], 0.05)).toEqual([...quiet.map(() => false), true]);
  });

  test("changed(changes, falseAlarm) steps down: each one named makes the next easier (Holm 1979)", () => {
    // p = 0.02 fails 0.05 / 3 and passes 0.05 / 2.
    const z = 2.3264;
    expect(changed([change(z, 1), change(0, 1), change(0, 1)], 0.05)).toEqual([false, false, false]);
    expect(changed([change(z, 1), change(9, 1), change(0, 1)], 0.05)).toEqual([true, true, false]);
  });
});
