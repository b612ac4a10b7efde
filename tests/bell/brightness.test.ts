import { describe, expect, test } from "vitest";
import { aWeightingDb } from "../../src/bell/a-weighting.ts";
import { type BrightnessPartial, brightnessOf } from "../../src/bell/brightness.ts";
import { makeRandom } from "../support/synthetic/random.ts";

const partial = (hertz: number, db: number, name: string | null = null): BrightnessPartial => ({
  name,
  frequencyHz: { value: hertz, ci95: 0.002 * hertz },
  levelDb: { value: db, ci95: 0.3 },
});

const BELL = [partial(300, -4, "hum"), partial(600, -9), partial(1200, 0, "nominal"), partial(2500, -6)];

describe("brightnessOf(partials, strikeNoteHz)", () => {
  test("brightnessOf([], null) is null", () => {
    expect(brightnessOf([], null)).toBeNull();
  });

  test("brightnessOf() of one partial is its frequency, exactly 1 over itself", () => {
    const brightness = brightnessOf([partial(700, -3)], null);
    expect(brightness?.centroidHz.value).toBe(700);
    expect(brightness?.centroidHz.ci95).toBeCloseTo(1.4, 12);
    expect(brightness?.centroidRatio.value).toBe(1);
    // The same frequency above and below: no doubt is left.
    expect(brightness?.centroidRatio.ci95).toBeCloseTo(0, 12);
  });

  test("brightnessOf() is the mean of two partials of equal A-weighted level", () => {
    const two = [partial(500, -aWeightingDb(500)), partial(3000, -aWeightingDb(3000))];
    expect(brightnessOf(two, null)?.centroidHz.value).toBeCloseTo(1750, 9);
  });

  test("brightnessOf() is over the nominal, else the strike note, else the lowest partial", () => {
    const strike = { value: 500, ci95: 1 };
    const unnamed = BELL.map((p) => ({ ...p, name: null }));
    const named = brightnessOf(BELL, strike);
    expect(named?.ratioTo).toBe("nominal");
    expect(named?.centroidRatio.value).toBeCloseTo((named?.centroidHz.value ?? 0) / 1200, 12);
    expect(brightnessOf(unnamed, strike)?.ratioTo).toBe("strike note");
    const [high, low] = [partial(900, 0), partial(400, -2)];
    const lowest = brightnessOf([high, low], null);
    expect(lowest?.ratioTo).toBe("lowest partial");
    expect(lowest?.centroidRatio.value).toBeCloseTo((lowest?.centroidHz.value ?? 0) / 400, 12);
  });

  test("brightnessOf() finds the nominal among the partials wherever it stands, the first too", () => {
    const first = [partial(900, 0, "nominal"), partial(400, -2)];
    const brightness = brightnessOf(first, { value: 500, ci95: 1 });
    expect(brightness?.ratioTo).toBe("nominal");
    expect(brightness?.centroidRatio.value).toBeCloseTo((brightness?.centroidHz.value ?? 0) / 900, 12);
  });

  test("brightnessOf() moves with each frequency as its differences say, where the weighting is steep", () => {
    // Under 100 Hz A-weighting rises by some 12 dB an octave: a sharper partial counts for more, too.
    const low = [partial(60, 18), partial(90, 12), partial(1000, -6)].map((p) => ({
      ...p,
      frequencyHz: { value: p.frequencyHz.value, ci95: 0 },
      levelDb: { value: p.levelDb.value, ci95: 0 },
    }));
    const withHertz = (at: number, value: number, ci95: number) =>
      brightnessOf(
        low.map((p, i) => (i === at ? { ...p, frequencyHz: { value, ci95 } } : p)),
        null,
      );
    for (let at = 0; at < low.length; at++) {
      const { value } = low[at].frequencyHz;
      const step = 1e-5 * value;
      const centroid = (hertz: number) => withHertz(at, hertz, 0)?.centroidHz.value ?? 0;
      const slope = (centroid(value + step) - centroid(value - step)) / (2 * step);
      // A hundred-thousandth of the frequency: the third order is 1e-10 of the first; of rounding, 1e-16 over 1e-5.
      expect((withHertz(at, value, 0.1)?.centroidHz.ci95 ?? 0) / (0.1 * Math.abs(slope))).toBeCloseTo(1, 6);
    }
  });

  test("brightnessOf() has the intervals that 4000 repetitions with its own errors show", () => {
    const random = makeRandom(20);
    const draws = Array.from({ length: 4000 }, () => {
      const shaken = BELL.map((p) => ({
        ...p,
        frequencyHz: { value: p.frequencyHz.value + (p.frequencyHz.ci95 / 1.96) * random.normal(), ci95: 0 },
        levelDb: { value: p.levelDb.value + (p.levelDb.ci95 / 1.96) * random.normal(), ci95: 0 },
      }));
      const drawn = brightnessOf(shaken, null);
      return [drawn?.centroidHz.value ?? 0, drawn?.centroidRatio.value ?? 0];
    });
    const halfWidth = (of: number) => {
      const mean = draws.reduce((sum, draw) => sum + draw[of], 0) / draws.length;
      return 1.96 * Math.sqrt(draws.reduce((sum, draw) => sum + (draw[of] - mean) ** 2, 0) / draws.length);
    };
    const brightness = brightnessOf(BELL, null);
    // The standard deviation of 4000 draws is known to 1 in sqrt(8000), 1.1 %: 4 of those.
    expect(Math.abs((brightness?.centroidHz.ci95 ?? 0) / halfWidth(0) - 1)).toBeLessThan(0.045);
    expect(Math.abs((brightness?.centroidRatio.ci95 ?? 0) / halfWidth(1) - 1)).toBeLessThan(0.045);
  });
});
