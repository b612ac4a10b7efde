import { describe, expect, it } from "vitest";
import { renderBell } from "./bell.ts";
import { type Bound, boundOf } from "./crb.ts";
import { makeBell } from "./kinds.ts";
import { makeRandom } from "./random.ts";
import { type ModeEstimate, scoreBell } from "./score.ts";
import { fitSingleMode } from "./single-fit.ts";
import { countOf, summarise } from "./summary.ts";

/** An estimator that errs exactly as the bound says, and knows it. */
function oracle(
  truth: Parameters<typeof scoreBell>[0],
  bound: Bound,
  random: ReturnType<typeof makeRandom>,
): ModeEstimate[] {
  return truth.modes.flatMap((mode, i) => {
    const b = bound.modes[i];
    if (!(b.gapHz > 5 * b.gapSdHz)) return [];
    return {
      frequencyHz: mode.frequencyHz + b.frequencySdHz * random.normal(),
      frequencySdHz: b.frequencySdHz,
      decayRatePerS: mode.decayRatePerS + b.decayRateSdPerS * random.normal(),
      decayRateSdPerS: b.decayRateSdPerS,
      amplitude: mode.amplitude.map((a) => a * Math.exp(b.amplitudeRelSd * random.normal())),
      rho: b.rho,
    };
  });
}

const bell = makeBell("near", 1);
const bound = boundOf(bell.truth, bell.truth.onsetSample + 288);
const exact = oracle(bell.truth, bound, { ...makeRandom(0), normal: () => 0 });

describe("scoreBell", () => {
  it("scoreBell(no estimates) has every seeable mode missed and nothing invented", () => {
    const score = scoreBell(bell.truth, bound, []);
    expect(score.matched).toEqual([]);
    expect(score.missed.length).toBe(score.seeableCount);
    expect(score.seeableCount).toBeGreaterThan(5);
    expect(score.invented).toEqual([]);
  });

  it("scoreBell(the truth, in any order) has no error, nothing missed, nothing invented", () => {
    const score = scoreBell(bell.truth, bound, [...exact].reverse());
    expect(score.missed).toEqual([]);
    expect(score.invented).toEqual([]);
    for (const m of score.matched) {
      expect([m.frequencyErrorOverBound, m.decayErrorOverBound, m.levelErrorOverBound]).toEqual([0, 0, 0]);
      expect(m.frequencyCovered && m.decayCovered).toBe(true);
    }
  });

  it("scoreBell(truth and more) calls a second pole on a found mode invented, and one far from every mode", () => {
    const twin = { ...exact[3], frequencyHz: exact[3].frequencyHz + exact[3].decayRatePerS / Math.PI / 4 };
    const far = { ...exact[3], frequencyHz: 19999 };
    const score = scoreBell(bell.truth, bound, [...exact, twin, far]);
    expect(score.invented).toEqual([exact.length, exact.length + 1]);
    expect(score.missed).toEqual([]);
    expect(score.matched.every((m) => m.estimate < exact.length)).toBe(true);
  });

  it("scoreBell(an estimate two linewidths off its mode) has it missed, not invented, and its error not pooled", () => {
    const lone = exact.findIndex((e, i) =>
      exact.every((o, k) => k === i || Math.abs(o.frequencyHz - e.frequencyHz) > 20),
    );
    const off = exact.map((e, i) =>
      i === lone ? { ...e, frequencyHz: e.frequencyHz + (2 * e.decayRatePerS) / Math.PI } : e,
    );
    const score = scoreBell(bell.truth, bound, off);
    expect(score.missed.length).toBe(1);
    expect(score.invented).toEqual([]);
    expect(score.matched.some((m) => m.estimate === lone)).toBe(false);
  });
});

describe("summarise", () => {
  it("summarise(nothing) has null where nothing was measured", () => {
    const row = summarise([], { spacing: "any", minimumRho: 0 });
    expect(row.count).toBe(0);
    expect([row.frequencyRmse, row.decayRmse, row.levelRmse, row.frequencyCoverage]).toEqual([
      null,
      null,
      null,
      null,
    ]);
  });

  it("summarise(errors drawn at the bound) is 1 for every class, with coverage 0.95, nothing missed or invented", () => {
    const random = makeRandom(17);
    const scores = (["near", "splits", "quadruplets"] as const).flatMap((kind) =>
      Array.from({ length: 6 }, (_, seed) => makeBell(kind, seed).truth).flatMap((truth) => {
        const b = boundOf(truth, truth.onsetSample + 288);
        return Array.from({ length: 20 }, () => scoreBell(truth, b, oracle(truth, b, random)));
      }),
    );
    // A mode that is just seeable lies within five standard errors of its neighbour's place once in millions.
    expect(countOf(scores)).toMatchObject({ missed: 0, invented: 0 });
    for (const spacing of ["single", "pair", "close"] as const) {
      const row = summarise(scores, { spacing, minimumRho: 50 });
      expect(row.count).toBeGreaterThan(400);
      // Root mean square of n normal deviates: sd 1/sqrt(2 n); 68 % quantile: sd 0.97/sqrt(n); share: sqrt(.95 x .05/n). Four of each.
      const rmsAllowed = 4 / Math.sqrt(2 * row.count);
      for (const rmse of [row.frequencyRmse, row.decayRmse, row.levelRmse]) {
        expect(Math.abs((rmse ?? 0) - 1)).toBeLessThan(rmsAllowed);
      }
      for (const quantile of [row.frequencyQuantile68, row.decayQuantile68]) {
        expect(Math.abs((quantile ?? 0) - 1)).toBeLessThan(3.9 / Math.sqrt(row.count));
      }
      for (const coverage of [row.frequencyCoverage, row.decayCoverage]) {
        expect(Math.abs((coverage ?? 0) - 0.95)).toBeLessThan(4 * Math.sqrt(0.0475 / row.count));
      }
    }
  });

  it("summarise(a maximum-likelihood fit of one mode) reaches the bound in white and in coloured noise", () => {
    // In coloured noise this least-squares fit is efficient as far as the density is flat over the line: that is
    // what the bound's use of the density at the mode supposes, so it is checked here, too.
    for (const [seed, colour] of [
      [3, { zero: 0, pole: 0 }],
      [4, { zero: 0.6, pole: 0.9 }],
    ] as const) {
      const random = makeRandom(seed);
      const scores = Array.from({ length: 300 }, () => {
        const mode = {
          frequencyHz: random.between(100, 500),
          decayRatePerS: random.logBetween(6, 40),
          amplitude: Float64Array.of(0.5),
          phaseRad: Float64Array.of(random.between(-3, 3)),
        };
        const plan = {
          sampleRateHz: 1200,
          durationS: 0.8,
          quietS: 0.05,
          modes: [mode],
          noise: [{ ...colour, sd: random.logBetween(0.005, 0.05) }],
          tones: [],
          artefacts: {},
          peak: null,
        };
        const { truth, channels } = renderBell(plan, random.integer(0, 2 ** 31));
        const start = truth.onsetSample + 12;
        return scoreBell(truth, boundOf(truth, start), [fitSingleMode(channels[0], truth, start)]);
      });
      expect(countOf(scores)).toMatchObject({ seeable: 300, missed: 0, invented: 0 });
      const row = summarise(scores, { spacing: "single", minimumRho: 50 });
      // rms of 300 normal deviates: four standard deviations are 0.16; coverage: four are 0.05.
      for (const rmse of [row.frequencyRmse, row.decayRmse, row.levelRmse]) {
        expect(Math.abs((rmse ?? 0) - 1)).toBeLessThan(0.16);
      }
      expect(row.frequencyCoverage).toBeGreaterThan(0.9);
      expect(row.decayCoverage).toBeGreaterThan(0.9);
    }
  });
});
