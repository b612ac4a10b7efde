import { describe, expect, it } from "vitest";
import { glideDelayS, glideGradient, glideShift, glideTimeS } from "../../src/partials/glide.ts";

const GLIDE = { amount: 0.004, timeConstantS: 0.3 };

describe("glide", () => {
  it("glideDelayS(t) has the slope amount exp(-t / timeConstant), and is 0 before the contact", () => {
    const h = 1e-5;
    for (const t of [0.01, 0.2, 1, 4]) {
      const slope = (glideDelayS(GLIDE, t + h) - glideDelayS(GLIDE, t - h)) / (2 * h);
      expect(slope).toBeCloseTo(0.004 * Math.exp(-t / 0.3), 8);
    }
    expect(glideDelayS(GLIDE, -1)).toBe(0);
  });

  it("glideGradient(t) is that of differences", () => {
    for (const t of [0.05, 0.4, 2]) {
      const [byAmount, byLog] = glideGradient(GLIDE, t);
      const up = { amount: GLIDE.amount + 1e-6, timeConstantS: GLIDE.timeConstantS };
      const longer = { amount: GLIDE.amount, timeConstantS: GLIDE.timeConstantS * Math.exp(1e-5) };
      expect(byAmount).toBeCloseTo((glideDelayS(up, t) - glideDelayS(GLIDE, t)) / 1e-6, 6);
      expect(byLog).toBeCloseTo((glideDelayS(longer, t) - glideDelayS(GLIDE, t)) / 1e-5, 6);
    }
    expect(glideGradient(GLIDE, -1)).toEqual([0, 0]);
  });

  it("glideTimeS(u) undoes u = t + d(t), steep and shallow", () => {
    for (const glide of [GLIDE, { amount: -0.02, timeConstantS: 0.02 }]) {
      for (const t of [-0.1, 0, 0.003, 0.1, 2]) {
        expect(Math.abs(glideTimeS(glide, t + glideDelayS(glide, t)) - t)).toBeLessThan(1e-12);
      }
    }
  });

  it("glideShift(alpha) is how far the best steady frequency of a decay moves", () => {
    const alpha = 3;
    const start = 0.02;
    // Weighted least squares of a phase by a constant and a slope, over 40,000 instants.
    const slopeOf = (phase: (t: number) => number): number => {
      const sums = [0, 0, 0, 0, 0];
      for (let i = 0; i < 40000; i++) {
        const t = i * 1e-4;
        const w = Math.exp(-2 * alpha * t);
        const d = phase(start + t);
        [w, w * t, w * t * t, w * d, w * t * d].forEach((v, k) => {
          sums[k] += v;
        });
      }
      const [w, wt, wtt, wd, wtd] = sums;
      return (w * wtd - wt * wd) / (w * wtt - wt * wt);
    };
    const [byAmount, byLog] = glideShift(GLIDE, alpha, start);
    expect(GLIDE.amount * byAmount).toBeCloseTo(
      slopeOf((t) => glideDelayS(GLIDE, t)),
      6,
    );
    const [shorter, longer] = [-1e-3, 1e-3].map((byLogOf) => ({
      amount: GLIDE.amount,
      timeConstantS: GLIDE.timeConstantS * Math.exp(byLogOf),
    }));
    expect(byLog).toBeCloseTo(slopeOf((t) => glideDelayS(longer, t) - glideDelayS(shorter, t)) / 2e-3, 6);
  });
});
