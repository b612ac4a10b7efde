import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { readTapJson, type TapMeasurement, writeTapJson } from "../../src/measurement/index.ts";
import { crackedBell, emptyMeasurement, noisyRecording, soundBell } from "../support/sample-measurement.ts";

const SAMPLES = { soundBell, crackedBell, noisyRecording, emptyMeasurement };

/** The same data with the keys of every object in another order. */
function reversed(data: unknown): unknown {
  if (Array.isArray(data)) return data.map(reversed);
  if (typeof data !== "object" || data === null) return data;
  return Object.fromEntries(
    Object.entries(data)
      .reverse()
      .map(([key, value]) => [key, reversed(value)]),
  );
}

function withQ(value: number, ci95: number): TapMeasurement {
  const sample = soundBell();
  return { ...sample, partials: sample.partials.map((p) => ({ ...p, q: { value, ci95 } })) };
}

describe("writeTapJson", () => {
  test.each([
    [Number.NaN, 1],
    [1, Number.NaN],
    [Number.POSITIVE_INFINITY, 1],
    [1, Number.POSITIVE_INFINITY],
    [1, -1],
  ])("writeTapJson with an estimate of %d ± %d throws and names the field", (value, ci95) => {
    expect(() => writeTapJson(withQ(value, ci95))).toThrow(
      /^measurement cannot be written: partials\[0\]\.q\.(value|ci95) is (NaN|Infinity|-1) where/,
    );
  });

  test("writeTapJson with a NaN in a curve throws and names the point", () => {
    const sample = soundBell();
    sample.curves.ringDowns[1]!.levelDb[3] = Number.NaN;
    expect(() => writeTapJson(sample)).toThrow(RangeError);
    expect(() => writeTapJson(sample)).toThrow(/curves\.ringDowns\[1\]\.levelDb\[3\] is NaN/);
  });

  test.each(Object.entries(SAMPLES))(
    "writeTapJson of %s is read back the same to its rounding",
    (_, build) => {
      const text = writeTapJson(build());
      const read = readTapJson(text);
      expect(writeTapJson(read)).toBe(text);
      expect(Object.keys(read)).toEqual(Object.keys(JSON.parse(writeTapJson(soundBell()))));
      expect(text.endsWith("}\n")).toBe(true);
    },
  );

  test("writeTapJson does not depend on the order of the keys", () => {
    const sample = { ...soundBell(), options: { ...soundBell().options, pins: { nominal: 1046, hum: 261 } } };
    expect(writeTapJson(reversed(sample) as TapMeasurement)).toBe(writeTapJson(sample));
  });

  test("writeTapJson leaves out what the schema does not know", () => {
    const more = { ...soundBell(), weatherOutside: "rain" };
    expect(writeTapJson(more)).toBe(writeTapJson(soundBell()));
  });

  test("writeTapJson does not change the measurement", () => {
    const sample = soundBell();
    const before = structuredClone(sample);
    writeTapJson(sample);
    expect(sample).toEqual(before);
  });

  test.each([
    [4321.123456789, 12.3456789, 4321.12, 12.35],
    [4321.123456789, 0.0123456, 4321.12346, 0.01235],
    [4321.123456789, 0, 4321.123456789, 0],
    [4321.123456789, 98765, 4320, 98770],
    [4.321, 98765, 4, 98770],
    [1e-9, 1e-13, 1e-9, 1e-13],
  ])("writeTapJson keeps of %d ± %d three digits beyond the interval", (value, ci95, keptValue, keptCi95) => {
    const { q } = readTapJson(writeTapJson(withQ(value, ci95))).partials[0]!;
    expect(q).toEqual({ value: keptValue, ci95: keptCi95 });
  });

  test("writeTapJson moves no value by more than a thousandth of its half-width", () => {
    // Half a unit three places below the leading digit of the half-width is 0.0005 of it at most; a value far inside
    // its interval keeps one digit of its own.
    fc.assert(
      fc.property(
        fc.double({ min: 1e-6, max: 1e9, noNaN: true }),
        fc.double({ min: 1e-9, max: 1e6, noNaN: true }),
        (value, ci95) => {
          const sample = emptyMeasurement();
          const text = writeTapJson({ ...sample, sustain: { ...sample.sustain, t60S: { value, ci95 } } });
          const kept = readTapJson(text).sustain.t60S!;
          // Beyond 17 digits a double has nothing to keep.
          const slack = 0.001 * ci95 + 1e-15 * value;
          expect(Math.abs(kept.value - value)).toBeLessThanOrEqual(slack);
          expect(Math.abs(kept.ci95 - ci95)).toBeLessThanOrEqual(slack);
        },
      ),
      { seed: 11, numRuns: 300 },
    );
  });
});
