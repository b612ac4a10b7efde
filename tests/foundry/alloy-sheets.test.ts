import { describe, expect, it } from "vitest";
import { ALLOY_SHEETS, alloyFamilyOf, castDensityKgM3, sheetsNear } from "../../src/foundry/alloy-sheets.ts";
import { parseComposition } from "../../src/foundry/composition.ts";
import { mixtureDensityKgM3 } from "../../src/foundry/mixture.ts";

describe("ALLOY_SHEETS", () => {
  it("ALLOY_SHEETS hold compositions that add up, and readings with a stated status", () => {
    for (const sheet of ALLOY_SHEETS) {
      const sum = Object.values(sheet.composition).reduce((a, b) => a + b, 0);
      expect(sum, sheet.id).toBeCloseTo(1, 12);
      expect(sheet.readings.length, sheet.id).toBeGreaterThan(0);
      for (const reading of sheet.readings) expect(["read", "from memory"]).toContain(reading.status);
    }
  });
});

describe("alloyFamilyOf", () => {
  it.each([
    ["Cu80Sn20", "tin bronze"],
    ["Cu90Sn10", "tin bronze"],
    ["Cu88Sn10Zn2", "tin bronze"],
    ["Cu85Al11Fe4", "aluminium bronze"],
    ["Cu95Si5", "silicon bronze"],
    ["Cu70Zn30", "brass"],
    ["Cu100", null],
    ["Cu67Sn33", null],
    ["Sn100", null],
  ])("alloyFamilyOf %s is %s", (text, family) => {
    expect(alloyFamilyOf(parseComposition(text))).toBe(family);
  });
});

describe("castDensityKgM3", () => {
  it("castDensityKgM3 reaches ideal mixing and every sheet nearby", () => {
    for (const text of ["Cu90Sn10", "Cu80Sn20", "Cu89Al11", "Cu70Zn30"]) {
      const alloy = parseComposition(text);
      const { densityKgM3 } = castDensityKgM3(alloy);
      const listed = sheetsNear(alloy).flatMap((sheet) => sheet.readings.flatMap((r) => r.densityKgM3 ?? []));
      for (const value of [mixtureDensityKgM3(alloy), ...listed]) {
        expect(Math.abs(value - densityKgM3.value)).toBeLessThanOrEqual(densityKgM3.ci95 * (1 + 1e-12));
      }
    }
  });

  it("castDensityKgM3 of bell metal spans 8.80 (a sheet, read) and 8.64 (another, from memory)", () => {
    const { densityKgM3, sheets } = castDensityKgM3(parseComposition("Cu81Sn19"));
    expect(sheets[0]).toBe("C91300");
    expect(densityKgM3.value - densityKgM3.ci95).toBeLessThan(8640);
    expect(densityKgM3.value + densityKgM3.ci95).toBeCloseTo(8802, 6);
  });

  it("castDensityKgM3 far from every sheet is ideal mixing, with 5 %", () => {
    const { densityKgM3, sheets } = castDensityKgM3(parseComposition("Cu60Sn40"));
    expect(sheets).toEqual([]);
    expect(densityKgM3.ci95).toBeCloseTo(0.05 * densityKgM3.value, 9);
  });
});
