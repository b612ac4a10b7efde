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

describe("alloyFamilyOf, at its limits", () => {
  it.each([
    [{ Cu: 0.96, Al: 0.04 }, "aluminium bronze"],
    [{ Cu: 0.99, Si: 0.01 }, "silicon bronze"],
    [{ Cu: 0.95, Sn: 0.05 }, "tin bronze"],
    [{ Cu: 0.75, Sn: 0.25 }, "tin bronze"],
    [{ Cu: 0.845, Sn: 0.1, Pb: 0.055 }, "tin bronze"],
    [{ Cu: 0.9, Zn: 0.1 }, "brass"],
    [{ Cu: 0.5, Zn: 0.5 }, "brass"],
    [{ Cu: 0.49, Zn: 0.51 }, null],
    [{ Cu: 0.92, Zn: 0.08 }, null],
    [{ Cu: 0.6, Zn: 0.2, Sn: 0.2 }, null],
    [{ Cu: 0.6, Zn: 0.15, Sn: 0.25 }, null],
  ])("alloyFamilyOf counts the limits themselves in: %j is %s", (composition, family) => {
    expect(alloyFamilyOf(composition)).toBe(family);
  });
});

describe("sheetsNear", () => {
  it("sheetsNear takes sheets of the family up to 5 points away, nearest first", () => {
    const ids = (text: string) => sheetsNear(parseComposition(text)).map((sheet) => sheet.id);
    expect(ids("Cu76Sn24")).toEqual(["C91300"]);
    expect(ids("Cu75.9Sn24.1")).toEqual([]);
    expect(ids("Cu82Sn18")).toEqual(["C91300", "C91100", "C91000", "C90900"]);
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
