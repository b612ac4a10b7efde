import { describe, expect, it } from "vitest";
import { commonGlide, departureOf } from "../../src/partials/common-glide.ts";
import type { GlideFit } from "../../src/partials/fit-glide.ts";
import { type Glide, glideDelayS } from "../../src/partials/glide.ts";
import type { RingDown } from "../../src/partials/ring-down.ts";
import { knownNoise, BELL_LINES as LINES, movedRing, openerOf, type RingLine } from "./rings.ts";

const linesAt = (...hertz: number[]): RingLine[] =>
  hertz.map((frequencyHz, i) => ({ frequencyHz, alpha: 1 + 0.3 * i, amplitude: 0.1 - 0.005 * i }));

const glideOf = (ring: RingDown): GlideFit | null => commonGlide(ring, [knownNoise()], openerOf(ring));
const gliding = (lines: RingLine[], glide: Glide, seed: number, seconds = 2): RingDown =>
  movedRing(lines, (t) => glideDelayS(glide, t), seed, { seconds });

describe("commonGlide", () => {
  it.each([
    { amount: 0.003, timeConstantS: 0.4 },
    { amount: -0.001, timeConstantS: 0.15 },
  ])("commonGlide(a ring with the glide %o) is it, within three of its errors", (glide) => {
    const fit = glideOf(gliding(LINES, glide, 1, 4))!;
    const [aa, , tt] = fit.covariance;
    expect(Math.abs(fit.glide.amount - glide.amount)).toBeLessThan(3 * Math.sqrt(aa));
    expect(Math.abs(Math.log(fit.glide.timeConstantS / glide.timeConstantS))).toBeLessThan(3 * Math.sqrt(tt));
    expect(Math.sqrt(aa)).toBeLessThan(0.1 * Math.abs(glide.amount));
    // Six bands, for of lines less than 4 % apart one stands for both, and the pair of 801 Hz has two lines.
    expect(fit.poles.length).toBe(6);
    const distances = fit.poles.flatMap(({ omega }) =>
      [...omega].flatMap((w) => [...omega].map((v) => w - v)),
    );
    expect(distances.some((apart) => Math.abs(apart / (4 * Math.PI) - 1) < 0.02)).toBe(true);
  });

  it.each<[string, (t: number) => number]>([
    ["the listener's", (t) => t],
    ["the bell's", (t) => t + glideDelayS({ amount: 0.01, timeConstantS: 0.3 }, t)],
  ])(
    "commonGlide(lines that decay by %s clock) leaves nothing over, as by the other it would",
    (_, decayTime) => {
      const glide = { amount: 0.01, timeConstantS: 0.3 };
      const ring = movedRing(linesAt(400, 700, 1000), (t) => glideDelayS(glide, t), 5, {
        seconds: 2,
        decayTime,
      });
      const fit = glideOf(ring)!;
      expect(Math.abs(fit.glide.amount / 0.01 - 1)).toBeLessThan(1e-3);
      // Chance leaves a few nats in all, the other clock over ninety.
      expect(fit.left).toBeLessThan(40);
      fit.rates.forEach((rate, i) => {
        expect(rate).toBeCloseTo([1, 1.3, 1.6][i], 2);
      });
    },
  );

  it("commonGlide(a ring that does not glide) is null", () => {
    expect(glideOf(movedRing(LINES, () => 0, 2))).toBeNull();
  });

  it("commonGlide(a bell that swings to and fro) is null: no falling glide explains it", () => {
    const turn = 2 * Math.PI * 0.7;
    expect(glideOf(movedRing(LINES, (t) => (0.002 * Math.sin(turn * t)) / turn, 3))).toBeNull();
  });

  it("commonGlide(a glide and a swing of a twentieth of it) is null: what is left is no free decay", () => {
    const glide = { amount: 0.003, timeConstantS: 0.3 };
    const ring = movedRing(
      linesAt(400, 700, 1000),
      (t) => glideDelayS(glide, t) + 1e-4 * Math.sin(9 * t),
      3,
      {
        seconds: 2,
      },
    );
    expect(glideOf(ring)).toBeNull();
  });

  it("commonGlide(partials of which each glides by its own amount) is null", () => {
    // Their mean is well known from three, and the spread is in its error.
    const glide = { amount: 0.003, timeConstantS: 0.3 };
    const each = [0.6, 1.2, 1.2].map((share, i) =>
      movedRing([linesAt(400, 700, 1000)[i]], (t) => share * glideDelayS(glide, t), 4 + i, { seconds: 2 }),
    );
    const sum = each[0].channels[0].map((_, n) => each.reduce((s, { channels }) => s + channels[0][n], 0));
    expect(glideOf({ ...each[0], channels: [sum] })).toBeNull();
  });

  it("commonGlide wants three bands, each more than 4 % from the others, and takes eight at the most", () => {
    const glide = { amount: 0.003, timeConstantS: 0.3 };
    const bandsOf = (...hertz: number[]) => glideOf(gliding(linesAt(...hertz), glide, 6))?.poles.length;
    expect(bandsOf(400, 700)).toBeUndefined();
    expect(bandsOf(400, 700, 725)).toBeUndefined();
    expect(bandsOf(400, 700, 735)).toBe(3);
    expect(bandsOf(300, 500, 700, 900, 1100, 1300, 1500, 1700, 1900, 2100)).toBe(8);
  });

  it("commonGlide(a ring too short to search in, or with too short a rest) is null", () => {
    const ring = gliding(linesAt(400, 700, 1000), { amount: 0.003, timeConstantS: 0.3 }, 7);
    expect(commonGlide(ring, [knownNoise()], () => null)).toBeNull();
    expect(glideOf({ ...ring, endSample: 2000 })).toBeNull();
  });

  it("commonGlide(a ring longer than a band holds) uses as much of it as a band holds, and leaves the sound as it was", () => {
    const ring = gliding(linesAt(400, 700, 1000), { amount: 0.003, timeConstantS: 0.3 }, 8, 14);
    const before = ring.channels[0].slice();
    const fit = glideOf(ring)!;
    expect(Math.abs(fit.glide.amount - 0.003)).toBeLessThan(3 * Math.sqrt(fit.covariance[0]));
    expect(ring.channels[0]).toEqual(before);
  });
});

describe("departureOf", () => {
  it("departureOf(a glide) is a fifth of the glide and of two errors of its delay, squared", () => {
    const covariance: GlideFit["covariance"] = [4e-10, 3e-8, 1e-4];
    const fit: GlideFit = {
      glide: { amount: 0.003, timeConstantS: 0.5 },
      covariance,
      left: 0,
      share: 0,
      poles: [],
      rates: [],
    };
    // The delay once it has settled, amount times time constant, has the gradient tau, amount tau.
    const gradient = [0.5, 0.003 * 0.5];
    const variance =
      gradient[0] ** 2 * covariance[0] +
      2 * gradient[0] * gradient[1] * covariance[1] +
      gradient[1] ** 2 * covariance[2];
    for (const omega of [1000, 9000]) {
      expect(departureOf(fit)(omega)).toBeCloseTo(0.04 * (0.003 ** 2 + 4 * omega ** 2 * variance), 15);
    }
    // Rounding may make the variance of a sum less than nothing.
    expect(departureOf({ ...fit, covariance: [0, -1e-9, 0] })(1000)).toBeCloseTo(0.04 * 0.003 ** 2, 15);
  });
});
