import { describe, expect, it } from "vitest";
import { parseComposition } from "../../src/foundry/composition.ts";
import { mixtureDensityKgM3 } from "../../src/foundry/mixture.ts";

describe("mixtureDensityKgM3", () => {
  it("mixtureDensityKgM3 of one element is its own", () => {
    expect(mixtureDensityKgM3({ Cu: 1 })).toBe(8960);
  });

  // 1 / (w/8.96 + (1-w)/7.29) from handbook densities, to the digit written: 8.76 and 8.57 g/cm3.
  it.each([
    ["Cu90Sn10", 8760],
    ["Cu80Sn20", 8570],
  ])("mixtureDensityKgM3 of %s is %d kg/m3", (text, expected) => {
    expect(Math.abs(mixtureDensityKgM3(parseComposition(text)) - expected)).toBeLessThanOrEqual(5);
  });

  it("mixtureDensityKgM3 adds volumes: a kilogram of each makes two in the sum of their volumes", () => {
    expect(mixtureDensityKgM3({ Cu: 0.5, Sn: 0.5 })).toBeCloseTo(2 / (1 / 8960 + 1 / 7290), 9);
  });

  it("mixtureDensityKgM3 refuses an element without data", () => {
    expect(() => mixtureDensityKgM3({ Cu: 0.5, Xe: 0.5 })).toThrow(/Xe is not an element/);
  });
});
