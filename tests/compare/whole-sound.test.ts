import { describe, expect, test } from "vitest";
import { compareWhole } from "../../src/compare/whole-sound.ts";
import { emptyMeasurement, soundBell } from "../support/sample-measurement.ts";
import { estimate, sampleStrike } from "../support/sample-parts.ts";

const struck = (...peaks: number[]) =>
  soundBell({ strikes: peaks.map((peakDbfs) => sampleStrike({ peakDbfs })) });

describe("compareWhole(a, b)", () => {
  test("compareWhole(a, b) gives null for all that one of them lacks", () => {
    const { strikeNoteSameMethod, ...rest } = compareWhole(soundBell(), emptyMeasurement());
    expect(Object.values(rest).every((value) => value === null)).toBe(true);
    expect(strikeNoteSameMethod).toBe(false);
  });

  test("compareWhole(a, b) is B relative to A", () => {
    const b = soundBell({
      sustain: { ...soundBell().sustain, t60S: estimate(16.2, 0.3) },
      brightness: {
        centroidHz: estimate(2408, 14),
        centroidRatio: estimate(1.15, 0.013),
        ratioTo: "nominal",
      },
    });
    const whole = compareWhole(soundBell(), b);
    expect(whole.t60Ratio!.value).toBeCloseTo(2, 9);
    expect(whole.t60Ratio!.ci95).toBeCloseTo(2 * Math.hypot(0.3 / 8.1, 0.3 / 16.2), 9);
    expect(whole.brightnessRatio!.value).toBeCloseTo(2, 9);
    expect(whole.relativeBrightnessRatio!.value).toBe(1);
    expect(whole.strikeNoteCents).toMatchObject({ value: 0 });
    expect(whole.strikeNoteSameMethod).toBe(true);
  });

  test("compareWhole(a, b) does not relate brightness over a nominal to brightness over a strike note", () => {
    const b = soundBell({ brightness: { ...soundBell().brightness!, ratioTo: "strike note" } });
    expect(compareWhole(soundBell(), b).relativeBrightnessRatio).toBeNull();
    expect(compareWhole(soundBell(), b).brightnessRatio).not.toBeNull();
  });

  test("compareWhole(a, b) gives a difference of peaks with the spread of the blows, and none of single blows", () => {
    expect(compareWhole(struck(-6), struck(-9, -8)).peakDifferenceDb).toBeNull();
    const { value, ci95 } = compareWhole(struck(-6, -7, -8), struck(-3, -4, -5)).peakDifferenceDb!;
    expect(value).toBeCloseTo(3, 12);
    // Standard error 1 / sqrt(3) each; Student's t, two degrees, 95 %: 4.303.
    expect(ci95).toBeCloseTo(4.303 * Math.sqrt(2 / 3), 3);
  });
});
