import { describe, expect, it } from "vitest";
import type { Band } from "../../src/partials/band.ts";
import { lineCovariance } from "../../src/partials/covariance.ts";
import { type BandFit, boundsAround, FitScratch, fitBand } from "../../src/partials/fit-band.ts";
import { degreesOfFreedom, excess, growFit, misfitReach } from "../../src/partials/grow.ts";
import { makeRandom } from "../support/synthetic/index.ts";
import { amplitudeOfRho, bandOfPlan, lineOfRho, PLAN, polesOfLines } from "./bands.ts";

const THRESHOLD = 15;
/** Linewidth 1.6 Hz. */
const ALPHA = 5;
const RULES = { threshold: THRESHOLD, maxPoles: 4, misfit: 0, workLimit: Number.POSITIVE_INFINITY };

function fitOne(band: Band, scratch: FitScratch): BandFit {
  const start = polesOfLines([{ frequencyHz: 1000, alpha: ALPHA }]);
  return fitBand(band, start, boundsAround(start.alpha), scratch);
}

describe("growFit, where it begins and ends", () => {
  const none = polesOfLines([]);
  const grown = (band: Band, maxPoles: number, misfit = 0) => {
    const scratch = new FitScratch();
    const first = fitBand(band, none, boundsAround(none.alpha), scratch);
    return growFit(band, first, { ...RULES, maxPoles, misfit }, scratch);
  };

  it.each([0.4, 5, 40])("growFit(no line yet) finds one of %d /s where it is", (alpha) => {
    const band = bandOfPlan({
      ...PLAN,
      from: 1900,
      to: 2100,
      lines: [lineOfRho(1000.1, 2000, 1, alpha)],
      random: makeRandom(51),
    });
    const { fit, misfitting } = grown(band, 3);
    expect([fit.poles.alpha.length, misfitting]).toEqual([1, false]);
    // sd = alpha sqrt(2 / rho) of a line that decays within the record, a fifth more for what the band leaves out; four of that, and
    // four times as much where it rings on beyond the two seconds.
    const sd = alpha * Math.sqrt(2 / 2000) * (alpha < 1 ? 4 : 1.2);
    expect(Math.abs(fit.poles.omega[0] - 2 * Math.PI * 1000.1)).toBeLessThan(4 * sd);
    expect(Math.abs(fit.poles.alpha[0] - alpha)).toBeLessThan(4 * sd);
  });

  it("growFit goes no further than the poles it may have", () => {
    const lines = [985, 995, 1005, 1015].map((f) => lineOfRho(f, 5000, f));
    const band = bandOfPlan({ ...PLAN, lines, random: makeRandom(52) });
    for (const most of [1, 2, 3]) expect(grown(band, most).fit.poles.alpha.length).toBe(most);
    expect(grown(band, 8).fit.poles.alpha.length).toBe(4);
  });

  it("growFit takes a line that brings more than the threshold, two channels together, and none that brings less", () => {
    const gainAt = (rho: number) => {
      const c = amplitudeOfRho(rho, ALPHA, PLAN);
      const lines = [
        {
          frequencyHz: 1000,
          alpha: ALPHA,
          c: [
            [c, 0],
            [0, c],
          ] as [number, number][],
        },
      ];
      return grown(bandOfPlan({ ...PLAN, channels: 2, noise: [1e-6, 1e-6], lines }), 2).fit.poles.alpha
        .length;
    };
    // Without noise a line alone brings its SNR, less a tenth in the skirts beyond the band and in its constant.
    expect([gainAt(5), gainAt(10)]).toEqual([0, 1]);
  });

  it("growFit leaves a line outside the band to others: no pole stays at the edge", () => {
    const band = bandOfPlan({ ...PLAN, lines: [lineOfRho(1022, 1e5)], random: makeRandom(53) });
    for (const w of grown(band, 3).fit.poles.omega) {
      expect(w).toBeGreaterThan(band.omega[0]);
      expect(w).toBeLessThan(band.omega[band.count - 1]);
    }
  });
});

describe("misfitReach", () => {
  it("misfitReach is two linewidths and 0.15 % of the frequency, rad/s; of a line that hardly decays, of 0.02 /s", () => {
    expect(misfitReach(5, 6000)).toBeCloseTo(20 + 9, 12);
    expect(misfitReach(0.001, 6000)).toBeCloseTo(0.08 + 9, 12);
  });
});

describe("growFit", () => {
  it("growFit(pairs, triplets) finds every member, neither more nor fewer", () => {
    const random = makeRandom(43);
    for (const [offsetsHz, rho] of [
      [[0, 1.6], 2000],
      [[0, 0.8], 20_000],
      [[-3, 0, 2], 2000],
    ] as [number[], number][]) {
      for (let trial = 0; trial < 10; trial++) {
        const lines = offsetsHz.map((offset) => lineOfRho(1000.1 + offset, rho, random.between(-3, 3)));
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
    const band = bandOfPlan({ ...PLAN, lines: [lineOfRho(1000.1, 1e6)] });
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
    const lines = [lineOfRho(1000.1, 1e6), lineOfRho(1003, 3e4, 1)];
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
