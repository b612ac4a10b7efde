import { describe, expect, it } from "vitest";
import { castDensityKgM3 } from "../../src/foundry/alloy-sheets.ts";
import { parseComposition } from "../../src/foundry/composition.ts";
import { mixtureDensityKgM3 } from "../../src/foundry/mixture.ts";
import { densityFromWeighing, waterDensityKgM3 } from "../../src/foundry/weighing.ts";

const exact = (value: number) => ({ value, ci95: 0 });

/** Readings of a perfect balance for a body of this density, 1 litre, in water at 20 degrees and air of 1.2 kg/m3. */
function readings(densityKgM3: number, litres = 1) {
  const volume = litres * 1e-3;
  return {
    airKg: exact((densityKgM3 - 1.2) * volume),
    waterKg: exact((densityKgM3 - waterDensityKgM3(20)) * volume),
    waterTemperatureC: exact(20),
    meant: null,
  };
}

describe("waterDensityKgM3", () => {
  // Handbook values (CRC Handbook, from memory), to the digit written.
  it.each([
    [4, 999.97],
    [10, 999.7],
    [15, 999.1],
    [20, 998.2],
    [25, 997.05],
    [30, 995.65],
  ])("waterDensityKgM3 at %d degrees is %d", (temperature, expected) => {
    expect(Math.abs(waterDensityKgM3(temperature) - expected)).toBeLessThan(0.01);
  });
});

describe("densityFromWeighing", () => {
  it("densityFromWeighing refuses readings in the wrong order, of nothing, of a float, or in ice", () => {
    const sound = readings(8700);
    for (const wrong of [
      { ...sound, airKg: sound.waterKg, waterKg: sound.airKg },
      { ...sound, airKg: exact(0), waterKg: exact(0) },
      { ...sound, waterKg: exact(-0.1) },
      { ...sound, airKg: exact(Number.NaN) },
      { ...sound, waterTemperatureC: exact(-3) },
      { ...sound, waterTemperatureC: exact(Number.NaN) },
    ]) {
      expect(() => densityFromWeighing(wrong)).toThrow(/weighs less in water|water between/);
    }
  });

  it("densityFromWeighing finds the density and volume that the readings were made from", () => {
    const { densityKgM3, volumeM3 } = densityFromWeighing(readings(8640, 0.4));
    expect(densityKgM3.value).toBeCloseTo(8640, 8);
    expect(volumeM3.value).toBeCloseTo(0.4e-3, 15);
  });

  it("densityFromWeighing of 812 g and 718 g is 812/94 of the water's density, less a thousandth for the air", () => {
    const { densityKgM3 } = densityFromWeighing({
      airKg: { value: 0.812, ci95: 0.0005 },
      waterKg: { value: 0.718, ci95: 0.0005 },
      waterTemperatureC: { value: 20, ci95: 0 },
      meant: null,
    });
    const byHand = (812 / 94) * 998.2;
    expect(Math.abs(densityKgM3.value - byHand)).toBeLessThan(0.0015 * byHand);
    // By hand: d(rho) = 998.2 hypot(718 x 0.5, 812 x 0.5) / 94^2 = 61 kg/m3.
    expect(Math.abs(densityKgM3.ci95 - 61.2)).toBeLessThan(0.5);
  });

  it("densityFromWeighing has the volume of 94 g of water, to half a gram twice and what the temperature leaves open", () => {
    const weighed = (ci95: number, temperatureCi95: number) =>
      densityFromWeighing({
        airKg: { value: 0.812, ci95 },
        waterKg: { value: 0.718, ci95 },
        waterTemperatureC: { value: 20, ci95: temperatureCi95 },
        meant: null,
      });
    const { volumeM3 } = weighed(0.0005, 0);
    // Water displaced weighs 998.2 - 1.2 kg/m3 more than air displaced.
    expect(volumeM3.value).toBeCloseTo(0.094 / 997, 8);
    expect(volumeM3.ci95).toBeCloseTo(Math.hypot(0.0005, 0.0005) / 998.2, 9);
    // From 20 to 25 degrees water goes from 998.2 to 997.05 (CRC Handbook, from memory, to 0.01): 1.15 in 998.2.
    const warm = weighed(0, 5);
    expect(Math.abs(warm.volumeM3.ci95 / warm.volumeM3.value - 1.15 / 998.2)).toBeLessThan(2e-5);
    expect(Math.abs(warm.densityKgM3.ci95 / warm.densityKgM3.value - 1.15 / 998.2)).toBeLessThan(2e-5);
  });

  it("densityFromWeighing takes water from 0 to 40 degrees, and a bell that just floats, but none that weighs as much in water", () => {
    const sound = readings(8700);
    for (const temperature of [0, 40]) {
      expect(() => densityFromWeighing({ ...sound, waterTemperatureC: exact(temperature) })).not.toThrow();
    }
    expect(() => densityFromWeighing({ ...sound, waterTemperatureC: exact(40.1) })).toThrow(/water between/);
    expect(densityFromWeighing({ ...sound, waterKg: exact(0) }).densityKgM3.value).toBeCloseTo(
      waterDensityKgM3(20),
      9,
    );
    expect(() => densityFromWeighing({ ...sound, waterKg: sound.airKg })).toThrow(/weighs less in water/);
  });

  it("densityFromWeighing has the interval that 20,000 seeded weighings spread over", () => {
    const sound = readings(8640, 0.1);
    const request = {
      ...sound,
      airKg: { value: sound.airKg.value, ci95: 0.0004 },
      waterKg: { value: sound.waterKg.value, ci95: 0.0004 },
      waterTemperatureC: { value: 20, ci95: 2 },
    };
    const { densityKgM3 } = densityFromWeighing(request);
    let seed = 1;
    const random = (): number => {
      seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
      return (seed + 0.5) / 2 ** 32;
    };
    const normal = (): number => Math.sqrt(-2 * Math.log(random())) * Math.cos(2 * Math.PI * random());
    const trials = 20_000;
    let held = 0;
    for (let i = 0; i < trials; i++) {
      const drawn = densityFromWeighing({
        ...sound,
        airKg: exact(request.airKg.value + (normal() * 0.0004) / 1.96),
        waterKg: exact(request.waterKg.value + (normal() * 0.0004) / 1.96),
        waterTemperatureC: exact(20 + (normal() * 2) / 1.96),
      });
      if (Math.abs(drawn.densityKgM3.value - densityKgM3.value) <= densityKgM3.ci95) held++;
    }
    // Binomial: 95 % of 20,000 within four standard deviations, 0.62 %.
    expect(Math.abs(held / trials - 0.95)).toBeLessThan(4 * Math.sqrt((0.95 * 0.05) / trials));
  });

  it("densityFromWeighing reads ideal mixing back as tin, with an interval that the data sheets set", () => {
    for (const percent of [10, 20]) {
      const alloy = { Cu: 1 - percent / 100, Sn: percent / 100 };
      const { tinPercent } = densityFromWeighing(readings(mixtureDensityKgM3(alloy)));
      expect(tinPercent!.value).toBeCloseTo(percent, 6);
      // C91300 (19 % tin) is listed at 8802, 2.5 % over ideal mixing; a density of 1 % is 4.6 points of tin.
      expect(tinPercent!.ci95).toBeGreaterThan(10);
      expect(tinPercent!.ci95).toBeLessThan(13);
    }
  });

  it("densityFromWeighing gives no tin for what is denser than copper or lighter than tin, and says why", () => {
    expect(densityFromWeighing(readings(9300))).toMatchObject({
      tinPercent: null,
      tinReason: expect.stringMatching(/denser than copper/),
    });
    expect(densityFromWeighing(readings(7000))).toMatchObject({
      tinPercent: null,
      tinReason: expect.stringMatching(/lighter than tin/),
    });
  });

  it("densityFromWeighing states what pores do: 1 % of pores in Cu80Sn20 reads as that many points of tin", () => {
    const sound = mixtureDensityKgM3(parseComposition("Cu80Sn20"));
    const porous = densityFromWeighing(readings(sound * 0.99));
    const { pointsPerPercentPorosity } = densityFromWeighing(readings(sound));
    // First order against the exact difference: off by 1 % of itself, and no more.
    expect(Math.abs(porous.tinPercent!.value - 20 - pointsPerPercentPorosity)).toBeLessThan(
      0.011 * pointsPerPercentPorosity,
    );
    expect(porous.notes.join(" ")).toMatch(/Pores and tin do the same/);
  });

  it("densityFromWeighing gives the pores of a known alloy, with the sheets' spread", () => {
    const meant = parseComposition("Cu80Sn20");
    const { porosityPercent } = densityFromWeighing({ ...readings(8300), meant });
    expect(porosityPercent!.value).toBeGreaterThan(3);
    expect(porosityPercent!.ci95).toBeGreaterThan(1);
    const sound = castDensityKgM3(meant).densityKgM3;
    const porous = readings(0.97 * sound.value);
    const { porosityPercent: three } = densityFromWeighing({ ...porous, meant });
    expect(three!.value).toBeCloseTo(3, 9);
    expect(three!.ci95).toBeCloseTo((97 * sound.ci95) / sound.value, 9);
    // A balance to 1 % of the density counts in squares with what the sheets leave open.
    const ci95 = (0.01 * (porous.airKg.value - porous.waterKg.value) ** 2 * 0.97 * sound.value) / 998.2;
    const rough = { ...porous, airKg: { value: porous.airKg.value, ci95: ci95 / porous.waterKg.value } };
    const { porosityPercent: coarse } = densityFromWeighing({ ...rough, meant });
    // 998.2 is rounded to a hundred-thousandth of itself.
    expect(coarse!.ci95 / Math.hypot(three!.ci95, 0.97)).toBeCloseTo(1, 4);
    expect(densityFromWeighing(readings(8300)).porosityPercent).toBeNull();
  });
});
