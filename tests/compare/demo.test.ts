import { describe, expect, test } from "vitest";
import { demoCastings } from "../../src/compare/index.ts";

describe("demoCastings()", () => {
  test("demoCastings() says on everything it gives that it was invented", () => {
    const { scenario, castings } = demoCastings();
    expect(scenario).toMatch(/^No such bell was cast and no such recording was made/);
    for (const { label, file } of castings) expect(`${label} ${file}`).toMatch(/invented.*invented/);
  });

  test("demoCastings() gives the same finite samples below full scale at every call", () => {
    const [first] = demoCastings().castings;
    const [again] = demoCastings().castings;
    expect(again.samples).toEqual(first.samples);
    const peak = first.samples.reduce((most, sample) => Math.max(most, Math.abs(sample)), 0);
    expect(peak).toBeGreaterThan(0.3);
    expect(peak).toBeLessThan(0.5);
  });

  test("demoCastings() leaves a second of quiet before the first strike, and half a second before the next", () => {
    const [{ samples, sampleRateHz }] = demoCastings().castings;
    const rms = (fromS: number, toS: number) => {
      const part = samples.subarray(fromS * sampleRateHz, toS * sampleRateHz);
      return Math.sqrt(part.reduce((sum, sample) => sum + sample * sample, 0) / part.length);
    };
    // Noise at -78 dB of full scale.
    for (const [from, to] of [
      [0.1, 0.9],
      [5.6, 5.9],
    ])
      expect(20 * Math.log10(rms(from, to))).toBeCloseTo(-78, 0);
    expect(20 * Math.log10(rms(1, 1.2))).toBeGreaterThan(-30);
  });
});
