import { describe, expect, it } from "vitest";
import { temperatureCoefficientPerK, temperatureRatio } from "../../src/foundry/temperature.ts";

describe("temperatureCoefficientPerK", () => {
  it("temperatureCoefficientPerK of expansion alone is +0.016 cents a kelvin for 18.4e-6 (f ~ sqrt(E x length), computed apart)", () => {
    const perK = temperatureCoefficientPerK({ value: 0, ci95: 0 }, { value: 18.4e-6, ci95: 0 });
    expect((perK.value * 1200) / Math.LN2).toBeCloseTo(0.016, 3);
  });

  it("temperatureCoefficientPerK lies below zero with its whole interval: a warm bell is flatter", () => {
    const { value, ci95 } = temperatureCoefficientPerK();
    expect(value + ci95).toBeLessThan(0);
  });
});

describe("temperatureRatio", () => {
  it("temperatureRatio at one temperature is exactly one", () => {
    expect(temperatureRatio(20, 20)).toEqual({ value: 1, ci95: 0 });
  });

  it("temperatureRatio grows its interval with the difference, cooling as well as warming", () => {
    const perK = { value: -2e-4, ci95: 1e-4 };
    expect(temperatureRatio(20, 10, perK).value).toBeCloseTo(1.002, 12);
    expect(temperatureRatio(20, 10, perK).ci95).toBeCloseTo(1e-3, 12);
    expect(temperatureRatio(10, 20, perK).value).toBeCloseTo(0.998, 12);
  });
});
