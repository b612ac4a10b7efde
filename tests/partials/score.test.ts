import { describe, expect, it } from "vitest";
import { Projection } from "../../src/partials/projection.ts";
import { scoreFurtherLine } from "../../src/partials/score.ts";
import { makeRandom } from "../support/synthetic/index.ts";
import { amplitudeOfRho, type BandLine, bandOfPlan, PLAN, polesOfLines } from "./bands.ts";

const line = (frequencyHz: number, alpha: number, rho: number): BandLine => ({
  frequencyHz,
  alpha,
  c: [
    [amplitudeOfRho(rho, alpha, PLAN), 0],
    [0, amplitudeOfRho(rho, alpha, PLAN)],
  ],
});

function projectionOf(band: ReturnType<typeof bandOfPlan>, lines: { frequencyHz: number; alpha: number }[]) {
  const p = new Projection();
  p.evaluate(band, polesOfLines(lines));
  return p;
}

describe("scoreFurtherLine", () => {
  it("scoreFurtherLine(no decay rates to try) is empty", () => {
    const band = bandOfPlan(PLAN);
    expect(scoreFurtherLine(band, projectionOf(band, []), [], 1)).toEqual([]);
  });

  it("scoreFurtherLine(nothing left to explain) has next to no gain, at a bin of the band", () => {
    const lone = line(1000.3, 5, 3000);
    const band = bandOfPlan({ ...PLAN, lines: [lone] });
    for (const { gain, omega } of scoreFurtherLine(band, projectionOf(band, [lone]), [2, 5], 1)) {
      // The rounding of 6000 nats, squared over the floor of a thousandth: far below a nat.
      expect(gain).toBeGreaterThanOrEqual(0);
      expect(gain).toBeLessThan(1e-6);
      expect(band.omega).toContain(omega);
    }
  });

  it.each([1, 2])(
    "scoreFurtherLine(%d channels) is what the line would take from the residual, the others held",
    (channels) => {
      const noise = [1e-6, 2e-6].slice(0, channels);
      const plan = { ...PLAN, channels, noise, lines: [line(1000.3, 5, 3000)], random: makeRandom(31) };
      const band = bandOfPlan(plan);
      const known = [{ frequencyHz: 1000.3, alpha: 5 }];
      const p = projectionOf(band, known);
      for (const alpha of [2, 5, 30]) {
        const [found] = scoreFurtherLine(band, p, [alpha], 1);
        const more = projectionOf(band, [...known, { frequencyHz: found.omega / (2 * Math.PI), alpha }]);
        // The same projection computed in two ways; the norm of the candidate is floored at a thousandth, which a lone line's neighbour
        // half a bin off at the nearest passes.
        expect(found.gain / (p.rss - more.rss)).toBeCloseTo(1, 6);
        expect(found.alpha).toBe(alpha);
      }
    },
  );

  it("scoreFurtherLine(a weak line beside a strong one) stands highest where the line is", () => {
    const strong = line(995, 5, 1e5);
    const weak = line(1005, 8, 100);
    const band = bandOfPlan({ ...PLAN, lines: [strong, weak] });
    const candidates = scoreFurtherLine(band, projectionOf(band, [strong]), [2, 8, 40], 1);
    expect(candidates[0].alpha).toBe(8);
    expect(candidates[0].omega / (2 * Math.PI)).toBeCloseTo(1005, 6);
    // Of rho = 100 the constant takes atan(X)/X, a tenth (X half linewidths to the nearer end), the strong line's column
    // 4 a b/((a + b)^2 + w^2), 4 %, and both together no more than twice that.
    expect(candidates[0].gain).toBeGreaterThan(72);
    expect(candidates[0].gain).toBeLessThan(100);
  });

  it("scoreFurtherLine returns one place for every decay rate, best first", () => {
    const band = bandOfPlan({ ...PLAN, lines: [line(1000, 5, 500)], random: makeRandom(32) });
    const candidates = scoreFurtherLine(band, projectionOf(band, []), [1, 3, 10, 30], 2);
    expect(candidates.map((c) => c.alpha).sort((a, b) => a - b)).toEqual([1, 3, 10, 30]);
    const gains = candidates.map((c) => c.gain);
    expect(gains).toEqual(gains.toSorted((a, b) => b - a));
  });
});
