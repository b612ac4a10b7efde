import { describe, expect, it } from "vitest";
import { basebandOf } from "../../src/partials/baseband.ts";
import { commonGlide } from "../../src/partials/common-glide.ts";
import { glideDelayS } from "../../src/partials/glide.ts";
import { glidingEstimate } from "../../src/partials/gliding-estimate.ts";
import type { RingDown } from "../../src/partials/ring-down.ts";
import { makeRandom } from "../support/synthetic/index.ts";
import { knownNoise, openerOf, RING_RATE_HZ, RING_SD, type RingLine, ringDownOf } from "./rings.ts";

const LINES: RingLine[] = [
  { frequencyHz: 400, alpha: 0.8, amplitude: 0.1 },
  { frequencyHz: 801, alpha: 1.5, amplitude: 0.1 },
  { frequencyHz: 803, alpha: 1.5, amplitude: 0.05 },
  { frequencyHz: 950, alpha: 2, amplitude: 0.05 },
  { frequencyHz: 1210, alpha: 2.5, amplitude: 0.03 },
  { frequencyHz: 1600, alpha: 3, amplitude: 0.1 },
  { frequencyHz: 2700, alpha: 20, amplitude: 0.1 },
];

describe("basebandOf", () => {
  it.each([0.03, 0.055, 0.2])("basebandOf(a ring of %d s) ends, without a baseband", (lengthS) => {
    const ring = ringDownOf([], 1, 1);
    const endSample = ring.ringStartSample + Math.round(lengthS * RING_RATE_HZ);
    expect(basebandOf({ ...ring, endSample }, 400, [knownNoise()])).toBeNull();
  });
});

/** A ring whose phases run on the time t + d(t). */
function movedRing(delayS: (t: number) => number, seed: number): RingDown {
  const x = new Float64Array(4 * RING_RATE_HZ);
  for (const { frequencyHz, alpha, amplitude } of LINES) {
    for (let n = 0; n < x.length; n++) {
      const t = n / RING_RATE_HZ;
      x[n] += amplitude * Math.exp(-alpha * t) * Math.cos(2 * Math.PI * frequencyHz * (t + delayS(t)));
    }
  }
  makeRandom(seed).addNormal(x, RING_SD);
  return { ...ringDownOf([], seed, 4), channels: [Float32Array.from(x)] };
}

describe("commonGlide", () => {
  it.each([
    { amount: 0.003, timeConstantS: 0.4 },
    { amount: -0.001, timeConstantS: 0.15 },
  ])("commonGlide(a ring with the glide %o) is it, within three of its errors", (glide) => {
    const ring = movedRing((t) => glideDelayS(glide, t), 1);
    const fit = commonGlide(ring, [knownNoise()], openerOf(ring))!;
    const [aa, , tt] = fit.covariance;
    expect(Math.abs(fit.glide.amount - glide.amount)).toBeLessThan(3 * Math.sqrt(aa));
    expect(Math.abs(Math.log(fit.glide.timeConstantS / glide.timeConstantS))).toBeLessThan(3 * Math.sqrt(tt));
    expect(Math.sqrt(aa)).toBeLessThan(0.1 * Math.abs(glide.amount));
  });

  it("commonGlide(a ring that does not glide) is null", () => {
    const ring = movedRing(() => 0, 2);
    expect(commonGlide(ring, [knownNoise()], openerOf(ring))).toBeNull();
  });

  it("commonGlide(a bell that swings to and fro) is null: no falling glide explains it", () => {
    const turn = 2 * Math.PI * 0.7;
    const ring = movedRing((t) => (0.002 * Math.sin(turn * t)) / turn, 3);
    expect(commonGlide(ring, [knownNoise()], openerOf(ring))).toBeNull();
  });
});

describe("glidingEstimate", () => {
  it("glidingEstimate(a ring that glides by 0.3 %) has every line once, at its settled frequency", () => {
    const ring = movedRing((t) => glideDelayS({ amount: 0.003, timeConstantS: 0.4 }, t), 4);
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
