import { describe, expect, it } from "vitest";
import type { Band } from "../../src/partials/band.ts";
import { lineCovariance } from "../../src/partials/covariance.ts";
import { type BandFit, boundsAround, FitScratch, fitBand } from "../../src/partials/fit-band.ts";
import { degreesOfFreedom, excess, growFit } from "../../src/partials/grow.ts";
import { makeRandom, type Random } from "../support/synthetic/index.ts";
import { amplitudeOfRho, type BandLine, bandOfPlan, PLAN, polesOfLines } from "./bands.ts";

const THRESHOLD = 15;
/** Linewidth 1.6 Hz. */
const ALPHA = 5;
const RULES = { threshold: THRESHOLD, maxPoles: 4, misfit: 0 };

const line = (frequencyHz: number, rho: number, phase = 0, alpha = ALPHA): BandLine => {
  const c = amplitudeOfRho(rho, alpha, PLAN);
  return { frequencyHz, alpha, c: [[c * Math.cos(phase), c * Math.sin(phase)]] };
};

function fitOne(band: Band, scratch: FitScratch): BandFit {
  const start = polesOfLines([{ frequencyHz: 1000, alpha: ALPHA }]);
  return fitBand(band, start, boundsAround(start.alpha), scratch);
}

/** Gain of a second pole on one line in noise, forced. */
function gainOfSecond(random: Random): number {
  const at = 1000 + random.between(-0.25, 0.25);
  const lines = [line(at, 2000, random.between(-Math.PI, Math.PI))];
  const band = bandOfPlan({ ...PLAN, from: 1968, to: 2032, lines, random });
  const scratch = new FitScratch();
  const one = fitOne(band, scratch);
  const two = growFit(band, one, { threshold: 0, maxPoles: 2, misfit: 0 }, scratch).fit;
  return one.rss - two.rss;
}

describe("growFit", () => {
  it("growFit(one line in noise) gains by a second pole with the quantiles that the threshold was chosen by", () => {
    const random = makeRandom(41);
    const count = 400;
    const gains = Array.from({ length: count }, () => gainOfSecond(random)).sort((a, b) => a - b);
    // In nats; measured over 4,000 bands of another seed, the same for rho from 200 to 1e5. Of a sample of 400 the number
    // below a quantile is binomial. A maximum of some 65 unit exponentials alone would have 4.5/6.4/7.1/8.8.
    for (const [share, quantile] of [
      [0.5, 5.1],
      [0.9, 7.5],
      [0.95, 8.4],
      [0.99, 10.3],
    ]) {
      const below = gains.filter((gain) => gain <= quantile).length;
      const sd = Math.sqrt(count * share * (1 - share));
      expect(Math.abs(below - count * share), `${share}: ${gains[Math.floor(share * count)]}`).toBeLessThan(
        3 * sd,
      );
    }
    expect(gains.filter((gain) => gain > THRESHOLD).length).toBe(0);
  });

  it("growFit(one line in noise) keeps one pole at the threshold of 15 nats", () => {
    const random = makeRandom(42);
    for (let trial = 0; trial < 100; trial++) {
      const scratch = new FitScratch();
      const band = bandOfPlan({ ...PLAN, lines: [line(1000.1, 1000, trial)], random });
      const grown = growFit(band, fitOne(band, scratch), RULES, scratch);
      expect(grown.fit.poles.alpha.length).toBe(1);
      expect(grown.misfitting).toBe(false);
    }
  });

  it("growFit(pairs, triplets) finds every member, neither more nor fewer", () => {
    const random = makeRandom(43);
    for (const [offsetsHz, rho] of [
      [[0, 1.6], 2000],
      [[0, 0.8], 20_000],
      [[-3, 0, 2], 2000],
    ] as [number[], number][]) {
      for (let trial = 0; trial < 10; trial++) {
        const lines = offsetsHz.map((offset) => line(1000.1 + offset, rho, random.between(-3, 3)));
        const band = bandOfPlan({ ...PLAN, from: 1950, to: 2050, lines, random });
        const scratch = new FitScratch();
        const { fit } = growFit(band, fitOne(band, scratch), RULES, scratch);
        const found = Array.from(fit.poles.omega, (w) => w / (2 * Math.PI)).sort((a, b) => a - b);
        expect(found.length, `${offsetsHz}`).toBe(lines.length);
        // Five standard deviations, as known for a pair of this spacing.
        scratch.current.evaluate(band, polesOfLines(lines));
        const { sdPole } = lineCovariance(scratch.current, band, polesOfLines(lines));
        found.forEach((f, i) => {
          expect(Math.abs(f - lines[i].frequencyHz)).toBeLessThan((5 * sdPole[i]) / (2 * Math.PI));
        });
      }
    }
  });

  it("growFit(an allowance for misfit) does not build a second touch of the rod from further poles, and says so", () => {
    // A touch of a tenth of the blow 60 ms after it is no sum of decays from the start on: poles can only chase its ripple.
    const band = bandOfPlan({ ...PLAN, lines: [line(1000.1, 1e6)] });
    addLaterTouch(band, 1000.1, amplitudeOfRho(1e6, ALPHA, PLAN) / 10, 0.06);
    const scratch = new FitScratch();
    const free = growFit(band, fitOne(band, scratch), RULES, scratch);
    expect(free.fit.poles.alpha.length).toBe(RULES.maxPoles);
    expect(free.misfitting).toBe(false);
    const cautious = growFit(band, fitOne(band, scratch), { ...RULES, misfit: 0.05 }, scratch);
    expect(cautious.fit.poles.alpha.length).toBe(1);
    expect(cautious.misfitting).toBe(true);
  });

  it("growFit(an allowance for misfit) still takes a further pole that explains the bins down to the noise", () => {
    // Three linewidths off at 3 % of the energy: under the allowance of 5 %, and all there is.
    const lines = [line(1000.1, 1e6), line(1003, 3e4, 1)];
    const band = bandOfPlan({ ...PLAN, lines, random: makeRandom(45) });
    const scratch = new FitScratch();
    const grown = growFit(band, fitOne(band, scratch), { ...RULES, misfit: 0.05 }, scratch);
    expect(grown.fit.poles.alpha.length).toBe(2);
    expect(grown.misfitting).toBe(false);
  });
});

/** Adds the bins of a line of the same pole that begins late, by the sum itself. */
function addLaterTouch(band: Band, frequencyHz: number, c: number, delayS: number): void {
  const { re, im } = band.channels[0];
  for (let n = Math.round(delayS * PLAN.sampleRateHz); n < PLAN.size; n++) {
    const t = n / PLAN.sampleRateHz;
    const level = c * Math.exp(-ALPHA * (t - delayS));
    for (let i = 0; i < band.count; i++) {
      const angle = 2 * Math.PI * frequencyHz * (t - delayS) - band.omega[i] * t;
      re[i] += level * Math.cos(angle);
      im[i] += level * Math.sin(angle);
    }
  }
}

describe("degreesOfFreedom", () => {
  it("degreesOfFreedom counts complex bins less poles, amplitudes and constants, and is never under one", () => {
    const band = bandOfPlan(PLAN);
    expect(degreesOfFreedom(band, 0)).toBe(80);
    expect(degreesOfFreedom(band, 2)).toBe(76);
    expect(degreesOfFreedom(bandOfPlan({ ...PLAN, channels: 2, noise: [1e-6, 1e-6] }), 2)).toBe(154);
    expect(degreesOfFreedom(bandOfPlan({ ...PLAN, from: 1999, to: 2001 }), 3)).toBe(1);
  });
});

describe("excess", () => {
  it("excess(noise alone) is normal: mean nought, variance one", () => {
    const random = makeRandom(44);
    const values = Array.from({ length: 200 }, () => {
      const band = bandOfPlan({ ...PLAN, random });
      return excess(
        band,
        fitBand(band, polesOfLines([]), boundsAround(new Float64Array(0)), new FitScratch()),
      );
    });
    const mean = values.reduce((a, b) => a + b, 0) / values.length;
    const variance = values.reduce((sum, v) => sum + (v - mean) ** 2, 0) / (values.length - 1);
    expect(Math.abs(mean)).toBeLessThan(3 / Math.sqrt(200));
    // Chi squared of 80 complex bins has a kurtosis of 6/80: the variance's own deviation is sqrt(2/200) to 2 %.
    expect(Math.abs(variance - 1)).toBeLessThan(3 * Math.sqrt(2 / 200));
  });
});
