import { describe, expect, it } from "vitest";
import { commonGlide } from "../../src/partials/common-glide.ts";
import { glideDelayS, glideShift } from "../../src/partials/glide.ts";
import { glidingEstimate } from "../../src/partials/gliding-estimate.ts";
import { makeRandom } from "../support/synthetic/index.ts";
import { knownNoise, BELL_LINES as LINES, movedRing, openerOf, RING_RATE_HZ, ringDownOf } from "./rings.ts";

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

  it("glidingEstimate says the glide with its errors, and carries them into frequency, rate and level", () => {
    const bell = movedRing(
      LINES.slice(0, 4),
      (t) => glideDelayS({ amount: 0.003, timeConstantS: 0.4 }, t),
      5,
      {
        seconds: 2.5,
      },
    );
    // Half a second of noise before it: the glide counts from the contact.
    const onsetSample = RING_RATE_HZ / 2;
    const x = new Float32Array(onsetSample + bell.endSample);
    x.set(ringDownOf([], 7, 0.5).channels[0]);
    x.set(bell.channels[0], onsetSample);
    const ring = { ...bell, channels: [x], onsetSample, ringStartSample: onsetSample, endSample: x.length };
    const { glide, covariance } = commonGlide(ring, [knownNoise()], openerOf(ring))!;
    const [aa, at, tt] = covariance;
    const estimate = glidingEstimate(ring, [knownNoise()], openerOf(ring))!;
    expect(estimate.freeDecay).toBe(false);
    expect(estimate.glide).toEqual({
      ...glide,
      amountSd: Math.sqrt(aa),
      timeConstantSdS: glide.timeConstantS * Math.sqrt(tt),
    });
    const startS = (estimate.startSample - onsetSample) / RING_RATE_HZ;
    let alone = 0;
    for (const { line, delayS, early, sdOmega, sdAlpha } of estimate.lines) {
      // The rate is the middle of that by the bell's clock and by the listener's, which differ as the frequencies do.
      let alpha = line.alpha;
      for (let i = 0; i < 20; i++)
        alpha = line.alpha / (1 + (glide.amount * glideShift(glide, alpha, startS + delayS)[0]) / 2);
      const [byAmount, byLog] = glideShift(glide, alpha, startS + delayS);
      const half = (glide.amount * byAmount) / 2;
      expect(Math.abs(half)).toBeGreaterThan(1e-5);
      const variance = byAmount ** 2 * aa + 2 * byAmount * byLog * at + byLog ** 2 * tt;
      const omegaLeast = Math.hypot(line.sdOmega, line.omega * Math.sqrt(variance));
      const alphaLeast = Math.hypot(line.sdAlpha, line.alpha * half);
      // Beside what later fits are off by, which for most is nothing.
      expect(sdOmega / omegaLeast).toBeGreaterThan(1 - 1e-6);
      expect(sdAlpha / alphaLeast).toBeGreaterThan(1 - 1e-6);
      if (Math.abs(sdOmega / omegaLeast - 1) < 1e-6 && Math.abs(sdAlpha / alphaLeast - 1) < 1e-6) alone++;
      // So loud, the level's own error is far less than that of which clock is the line's.
      expect(line.sdLogAmplitude / Math.abs(half)).toBeGreaterThan(1);
      expect(line.sdLogAmplitude / Math.abs(half)).toBeLessThan(2);
      expect(early.line).toBe(line);
    }
    expect(alone).toBeGreaterThan(1);
  });

  it("glidingEstimate leaves out what a hum becomes on the bell's time axis, where the quiet says of the hum", () => {
    const glide = { amount: 0.004, timeConstantS: 0.3 };
    const bell = movedRing(LINES, (t) => glideDelayS(glide, t), 6, { seconds: 2 });
    const before = RING_RATE_HZ / 2;
    const x = new Float32Array(before + bell.endSample);
    x.set(ringDownOf([], 7, 0.5).channels[0]);
    x.set(bell.channels[0], before);
    for (let n = 0; n < x.length; n++) x[n] += 0.01 * Math.cos((2 * Math.PI * 50 * n) / RING_RATE_HZ);
    const ring = {
      ...bell,
      channels: [x],
      onsetSample: before,
      ringStartSample: before,
      endSample: x.length,
    };
    /** Decay rates of what is found around the hum. */
    const around = (quiet: { startSample: number; endSample: number } | null) =>
      glidingEstimate({ ...ring, quiet }, [knownNoise()], openerOf(ring))!
        .lines.filter(({ line }) => Math.abs(line.omega / (2 * Math.PI) - 50) < 3)
        .map(({ line }) => Math.round(line.alpha));
    expect(around(null).some((alpha) => alpha > 0)).toBe(true);
    // The hum itself is louder than what the glide makes of it, and stays.
    expect(around({ startSample: 0, endSample: before })).toEqual([0]);
  });

  it("glidingEstimate(a ring that does not glide) is null", () => {
    const ring = movedRing(LINES.slice(0, 4), () => 0, 8, { seconds: 1.5 });
    expect(glidingEstimate(ring, [knownNoise()], openerOf(ring))).toBeNull();
  });

  it("glidingEstimate(a glide whose partials are no free decays besides) is null", () => {
    // The first moments are hidden by noise, in which the strongest still tell how they glide.
    const glide = { amount: 0.003, timeConstantS: 0.3 };
    const ring = movedRing(LINES.slice(0, 4), (t) => glideDelayS(glide, t), 9, { seconds: 2 });
    const [x] = ring.channels;
    const random = makeRandom(10);
    for (let n = 0; n < 0.6 * RING_RATE_HZ; n++) x[n] += 0.02 * random.normal();
    expect(glidingEstimate(ring, [knownNoise()], openerOf(ring))).toBeNull();
  });
});
