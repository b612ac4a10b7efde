import { describe, expect, test } from "vitest";
import { rmsAboutLine, sampleCurve } from "../../../src/findings/signs/courses.ts";

const curve = (timeS: number[], levelDb: number[]) => ({
  partial: 0,
  timeS,
  levelDb,
  modelDb: levelDb.map((level) => 2 * level),
  noiseDb: -100,
});

describe("sampleCurve", () => {
  test("sampleCurve lays straight lines between the points, and holds the first and last", () => {
    const { level, model, seen } = sampleCurve(curve([0.1, 0.3, 0.4], [0, -10, -40]), 0.1, 6);
    expect([...level].map((v) => Math.round(v * 1e6) / 1e6)).toEqual([0, 0, -5, -10, -40, -40]);
    expect(model[2]).toBeCloseTo(-10, 9);
    expect([0, 1, 4, 5].map(seen)).toEqual([false, true, true, false]);
  });

  test("sampleCurve of a single point holds it", () => {
    expect([...sampleCurve(curve([0.1], [-3]), 0.1, 3).level]).toEqual([-3, -3, -3]);
  });
});

describe("rmsAboutLine", () => {
  test("rmsAboutLine of no weight is 0, and NaN counts nothing where the weight is 0", () => {
    expect(rmsAboutLine(Float64Array.of(1, 5, 2), new Float64Array(3))).toBe(0);
    expect(rmsAboutLine(Float64Array.of(Number.NaN, 5), Float64Array.of(0, 1))).toBe(0);
  });

  test("rmsAboutLine takes up any straight line", () => {
    const line = Float64Array.from({ length: 9 }, (_, k) => 3 - 7 * k);
    const weights = Float64Array.from({ length: 9 }, (_, k) => 1 + k);
    expect(rmsAboutLine(line, weights)).toBeCloseTo(0, 6);
  });

  test("rmsAboutLine of 1, -2, 1 about its line is the root of 2, and less where the middle weighs little", () => {
    const bend = Float64Array.of(1, -2, 1);
    expect(rmsAboutLine(bend, Float64Array.of(1, 1, 1))).toBeCloseTo(Math.SQRT2, 12);
    // Weights 1, w, 1: the mean is (2 - 2 w) / (2 + w), the variance 18 w / (2 + w)^2 by hand.
    expect(rmsAboutLine(bend, Float64Array.of(1, 0.1, 1))).toBeCloseTo(Math.sqrt(1.8) / 2.1, 12);
  });
});
