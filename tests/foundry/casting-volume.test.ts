import { describe, expect, it } from "vitest";
import { massOfVolume } from "../../src/foundry/casting-volume.ts";
import { parseComposition } from "../../src/foundry/composition.ts";

describe("massOfVolume", () => {
  it("massOfVolume refuses no volume", () => {
    for (const value of [0, -1, Number.NaN]) {
      expect(() => massOfVolume({ value, ci95: 0 }, { Cu: 1 })).toThrow(/volume must be above 0/);
    }
  });

  it("massOfVolume of a litre of Cu80Sn20 reaches ideal mixing's 8.57 kg and the sheet's 8.80 kg", () => {
    const { massKg } = massOfVolume({ value: 1e-3, ci95: 0 }, parseComposition("Cu80Sn20"));
    expect(massKg.value - massKg.ci95).toBeLessThan(8.58);
    expect(massKg.value + massKg.ci95).toBeGreaterThan(8.8);
    expect(massKg.ci95 / massKg.value).toBeLessThan(0.02);
  });

  it("massOfVolume adds what is uncertain of the volume", () => {
    const sure = massOfVolume({ value: 1e-3, ci95: 0 }, { Cu: 0.8, Sn: 0.2 }).massKg;
    const unsure = massOfVolume({ value: 1e-3, ci95: 1e-4 }, { Cu: 0.8, Sn: 0.2 }).massKg;
    expect(unsure.ci95).toBeCloseTo(Math.hypot(sure.ci95, 0.1 * sure.value), 9);
  });
});
