import { describe, expect, test } from "vitest";
import { decayRatePerS, decayTimeS, lossFactor, qualityFactor } from "../../src/bell/damping.ts";

const exactly = (value: number) => ({ value, ci95: 0 });

describe("decayRatePerS(decayTimeS), decayTimeS(ratePerS)", () => {
  test("decayRatePerS() is 6.9078 over the 60 dB time, with the same relative interval", () => {
    // T60 = 6.9078 / alpha: Cremer & Heckl, Structure-Borne Sound.
    const rate = decayRatePerS({ value: 2, ci95: 0.2 });
    expect(rate.value).toBeCloseTo(6.9078 / 2, 4);
    expect(rate.ci95 / rate.value).toBeCloseTo(0.1, 12);
  });

  test("decayTimeS() undoes decayRatePerS()", () => {
    const back = decayTimeS(decayRatePerS({ value: 17.6, ci95: 0.4 }));
    expect(back.value).toBeCloseTo(17.6, 12);
    expect(back.ci95).toBeCloseTo(0.4, 12);
  });

  test("decayRatePerS() is the slope it says: the level falls 60 dB in T60", () => {
    expect(20 * Math.log10(Math.exp(-decayRatePerS(exactly(3)).value * 3))).toBeCloseTo(-60, 9);
  });
});

describe("qualityFactor(frequencyHz, timeS), lossFactor(frequencyHz, timeS)", () => {
  test("lossFactor() is 2.1988 / (f T60), and 1 / Q", () => {
    // T60 = 2.1988 / (loss factor x f): Cremer & Heckl.
    expect(lossFactor(exactly(1000), exactly(1)).value).toBeCloseTo(2.1988e-3, 7);
    expect(
      lossFactor(exactly(1000), exactly(1)).value * qualityFactor(exactly(1000), exactly(1)).value,
    ).toBeCloseTo(1, 12);
  });

  test.each([
    // D5 church bell, frequencies and decays from memory of Rossing's publications; loss factors computed from them
    // elsewhere to two or three digits.
    [293, 52, 1.44e-4],
    [586, 16, 2.35e-4],
    [693, 16, 1.98e-4],
    [882, 6, 4.2e-4],
    [1172, 3, 6.3e-4],
  ])("lossFactor(%d Hz, %d s) is %d", (hertz, seconds, expected) => {
    // Half the last of two or three digits is at most 1.2 %.
    expect(Math.abs(lossFactor(exactly(hertz), exactly(seconds)).value / expected - 1)).toBeLessThan(0.012);
  });

  test("qualityFactor() carries both intervals in squares", () => {
    const q = qualityFactor({ value: 1000, ci95: 30 }, { value: 2, ci95: 0.08 });
    expect(q.ci95 / q.value).toBeCloseTo(0.05, 12);
  });
});
