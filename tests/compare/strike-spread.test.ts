import { describe, expect, test } from "vitest";
import { errorOf, spreadsOf, usedStrikes } from "../../src/compare/strike-spread.ts";
import { soundBell } from "../support/sample-measurement.ts";
import { sampleStrike } from "../support/sample-parts.ts";
import { makeRandom } from "../support/synthetic/random.ts";
import { oneStrike } from "./support/sample-castings.ts";

const EVER = Number.POSITIVE_INFINITY;

describe("usedStrikes(measurement)", () => {
  test("usedStrikes(measurement) leaves out what was left out", () => {
    expect(usedStrikes({ strikes: [] })).toBe(0);
    expect(usedStrikes({ strikes: [sampleStrike(), sampleStrike({ leftOut: "too quiet" })] })).toBe(1);
  });
});

describe("spreadsOf(measurement)", () => {
  test("spreadsOf(measurement) of one strike knows no spread", () => {
    for (const spread of spreadsOf(oneStrike(soundBell())).frequency) {
      expect(spread).toEqual({ strikeSd: null, degrees: EVER, strikes: 1 });
    }
  });

  test("spreadsOf(measurement) leaves a spread as it is where there are no others to lean on", () => {
    const bell = soundBell();
    const two = { ...bell, partials: bell.partials.slice(0, 2) };
    const [hum] = spreadsOf(two).decay;
    expect(hum.strikeSd).toBeCloseTo(bell.partials[0].strikeSpreadS! / bell.partials[0].decayTimeS.value, 12);
    expect(hum.degrees).toBe(1);
  });

  test("spreadsOf(measurement) lifts a spread that came out small by chance, and lowers a large one", () => {
    const bell = soundBell();
    const partials = bell.partials.map((partial, i) => ({
      ...partial,
      strikeSpreadHz: partial.frequencyHz.value * (i === 0 ? 1e-9 : i === 1 ? 1e-3 : 1e-5),
    }));
    const [small, large, usual] = spreadsOf({ ...bell, partials }).frequency;
    expect(small.strikeSd!).toBeGreaterThan(5e-6);
    expect(large.strikeSd!).toBeLessThan(1e-3);
    expect(large.strikeSd!).toBeGreaterThan(3e-4);
    // Two strikes leave one degree of freedom; the others add four.
    expect(usual.degrees).toBe(5);
  });

  test("spreadsOf(measurement) is right on average: the mean variance over many bells is the true one", () => {
    const random = makeRandom(4);
    const bell = soundBell();
    let sum = 0;
    const bells = 400;
    for (let i = 0; i < bells; i++) {
      const partials = bell.partials.map((partial) => {
        // Standard deviation of three normal values of standard deviation 1e-5.
        const values = [random.normal(), random.normal(), random.normal()];
        const mean = (values[0] + values[1] + values[2]) / 3;
        const variance = values.reduce((total, value) => total + (value - mean) ** 2, 0) / 2;
        return { ...partial, strikeSpreadHz: 1e-5 * Math.sqrt(variance) * partial.frequencyHz.value };
      });
      const strikes = [sampleStrike(), sampleStrike(), sampleStrike()];
      for (const { strikeSd } of spreadsOf({ ...bell, partials, strikes }).frequency) sum += strikeSd! ** 2;
    }
    const ratio = sum / (bells * bell.partials.length) / 1e-10;
    // 3,200 variances on two degrees scatter by 1 in sqrt(3200); the moderated share shares one median a bell, so 5 %
    // more; the median of eight is itself a little high.
    expect(ratio).toBeGreaterThan(0.93);
    expect(ratio).toBeLessThan(1.2);
  });
});

describe("errorOf(spread, fitSd)", () => {
  test("errorOf(spread, fitSd) is the fit's own where no spread is known, or where it is the larger", () => {
    expect(errorOf({ strikeSd: null, degrees: EVER, strikes: 1 }, 0.2)).toEqual({
      strikeSd: null,
      sd: 0.2,
      degrees: EVER,
    });
    expect(errorOf({ strikeSd: 0.1, degrees: 6, strikes: 4 }, 0.2).sd).toBe(0.2);
  });

  test("errorOf(spread, fitSd) is the spread's over the root of the strikes", () => {
    expect(errorOf({ strikeSd: 0.4, degrees: 6, strikes: 4 }, 0.01)).toEqual({
      strikeSd: 0.4,
      sd: 0.2,
      degrees: 6,
    });
  });
});
