import { describe, expect, it } from "vitest";
import { readTapMeasurement } from "../../src/measurement/index.ts";
import { beyondReason } from "../../src/measurement/reason.ts";
import { crackedBell, emptyMeasurement, noisyRecording, soundBell } from "../support/sample-measurement.ts";

/** A list in a list in a list ... */
function deep(levels: number): unknown {
  let value: unknown = 0;
  for (let i = 0; i < levels; i++) value = [value];
  return value;
}

describe("beyondReason", () => {
  it("beyondReason(json) finds nothing in measurements", () => {
    for (const measurement of [soundBell(), crackedBell(), noisyRecording(), emptyMeasurement()]) {
      expect(beyondReason(measurement)).toBeNull();
    }
    for (const plain of [null, 0, "", [], {}, 1e100, deep(60)]) expect(beyondReason(plain)).toBeNull();
  });

  it("beyondReason(json) names the field of a number with which arithmetic overflows", () => {
    expect(beyondReason({ a: [{ b: -1e101 }] })).toBe("a[0].b is -1e+101, beyond anything that is measured");
    expect(beyondReason({ a: Number.POSITIVE_INFINITY })).toMatch(/^a is Infinity/);
  });

  it("beyondReason(json) counts a hundred thousand levels without exhausting the stack", () => {
    expect(beyondReason({ more: deep(1e5) })).toMatch(/^more\[0\]\[0\].*lies more than 64 levels deep$/);
  });
});

describe("readTapMeasurement", () => {
  it("readTapMeasurement(json) refuses both, in known fields and in others", () => {
    const bell = soundBell();
    expect(() => readTapMeasurement({ ...bell, more: deep(9000) })).toThrow(/levels deep; measure/);
    const loud = { ...bell, sustain: { ...bell.sustain, t60S: { value: 1, ci95: 1.7e308 } } };
    expect(() => readTapMeasurement(loud)).toThrow(/^sustain\.t60S\.ci95 is 1\.7e\+308, beyond/);
  });
});
