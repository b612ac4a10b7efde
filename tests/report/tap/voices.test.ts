import { describe, expect, test } from "vitest";
import { membersOf, voices } from "../../../src/report/tap/voices.ts";
import { emptyMeasurement, soundBell } from "../../support/sample-measurement.ts";

describe("voices", () => {
  test("voices(m) of nothing is nothing", () => {
    expect(voices(emptyMeasurement())).toEqual([]);
  });

  test("voices(m) has the whole bell first, then each partial under its own mark", () => {
    const bell = soundBell();
    const all = voices(bell);
    expect(all.map(({ mark }) => mark)).toEqual([null, 0, 1, 2, 3, 4, 5, 6, 7]);
    // Eight partials, two of them pairs.
    expect(all[0]!.members).toHaveLength(10);
    expect(all[2]!.members).toHaveLength(2);
    expect(all[6]!.label).toBe("partial 6 alone, 1392 Hz");
  });

  test("membersOf(partial) turns 60 dB times into decay rates and levels into amplitudes", () => {
    const partial = soundBell().partials[0]!;
    const [[frequencyHz, decayRatePerS, amplitude, phaseRad]] = membersOf(partial) as [
      [number, number, number, number],
    ];
    expect(frequencyHz).toBeCloseTo(261.2, 6);
    // 60 dB after T60; five digits are kept.
    expect(20 * Math.log10(Math.exp(-decayRatePerS * partial.decayTimeS.value))).toBeCloseTo(-60, 2);
    expect(20 * Math.log10(amplitude)).toBeCloseTo(-8.1, 3);
    expect(phaseRad).toBe(0.4);
  });
});
