import { describe, expect, it } from "vitest";
import { glideDelayS } from "../../src/partials/glide.ts";
import { glidingEstimate } from "../../src/partials/gliding-estimate.ts";
import { knownNoise, movedRing, openerOf, type RingLine } from "./rings.ts";

const LINES: RingLine[] = [
  { frequencyHz: 400, alpha: 0.8, amplitude: 0.1 },
  { frequencyHz: 801, alpha: 1.5, amplitude: 0.1 },
  { frequencyHz: 803, alpha: 1.5, amplitude: 0.05 },
  { frequencyHz: 950, alpha: 2, amplitude: 0.05 },
  { frequencyHz: 1210, alpha: 2.5, amplitude: 0.03 },
  { frequencyHz: 1600, alpha: 3, amplitude: 0.1 },
  { frequencyHz: 2700, alpha: 20, amplitude: 0.1 },
];

describe("glidingEstimate", () => {
  it("glidingEstimate(a ring that glides by 0.3 %) has every line once, at its settled frequency", () => {
    const ring = movedRing(LINES, (t) => glideDelayS({ amount: 0.003, timeConstantS: 0.4 }, t), 4);
    const estimate = glidingEstimate(ring, [knownNoise()], openerOf(ring))!;
    const found = [...estimate.lines].sort((a, b) => a.line.omega - b.line.omega);
    expect(found.length).toBe(LINES.length);
    LINES.forEach(({ frequencyHz, alpha }, i) => {
      const { line, sdOmega, sdAlpha } = found[i];
      expect(Math.abs(line.omega - 2 * Math.PI * frequencyHz)).toBeLessThan(3.5 * sdOmega);
      expect(sdOmega).toBeLessThan(0.03 * alpha);
      expect(Math.abs(line.alpha - alpha)).toBeLessThan(3.5 * sdAlpha);
    });
  });
});
