import { describe, expect, it } from "vitest";
import { recipeFor } from "../../src/foundry/balance.ts";
import { parseComposition } from "../../src/foundry/composition.ts";
import { type CorrectionRequest, planCorrection } from "../../src/foundry/correct.ts";

function correct(haveKg: number, have: string, want: string, over: Partial<CorrectionRequest> = {}) {
  return planCorrection({
    haveKg,
    have: parseComposition(have),
    recipe: recipeFor(parseComposition(want)),
    losses: {},
    crucibleKg: null,
    ...over,
  });
}

describe("planCorrection", () => {
  it("planCorrection refuses nothing, no number, and a crucible of nothing", () => {
    expect(() => correct(0, "Cu90Sn10", "Cu80Sn20")).toThrow(/more than 0 kg/);
    expect(() => correct(Number.NaN, "Cu90Sn10", "Cu80Sn20")).toThrow(/more than 0 kg/);
    for (const crucibleKg of [-1, 0, Number.NaN]) {
      expect(() => correct(1, "Cu90Sn10", "Cu80Sn20", { crucibleKg })).toThrow(/must hold more/);
    }
    expect(() => correct(1, "Cu90Sn10", "Cu80Sn20", { losses: { Sn: 1 } })).toThrow(/below 100 %/);
  });

  it("planCorrection of 1 kg Cu90Sn10 to Cu80Sn20 adds 0.125 kg tin (mass balance)", () => {
    const result = correct(1, "Cu90Sn10", "Cu80Sn20");
    expect(result.add).toEqual([{ element: "Sn", name: "tin", massKg: expect.closeTo(0.125, 14) }]);
    expect(result.totalKg).toBeCloseTo(1.125, 14);
  });

  it("planCorrection of a heat too rich adds copper: 10 kg Cu75Sn25 to Cu80Sn20 takes 2.5 kg (by hand)", () => {
    const result = correct(10, "Cu75Sn25", "Cu80Sn20");
    expect(result.add).toEqual([{ element: "Cu", name: "copper", massKg: expect.closeTo(2.5, 12) }]);
  });

  it("planCorrection of a right heat adds nothing", () => {
    const right = correct(10, "Cu80Sn20", "Cu80Sn20");
    expect(right).toMatchObject({ add: [], totalKg: 10, crucible: null, cannot: [] });
    // It just fills a crucible of 10 kg.
    expect(correct(10, "Cu80Sn20", "Cu80Sn20", { crucibleKg: 10 }).crucible!.fits).toBe(true);
  });

  it("planCorrection adds an element that is not there at all: gunmetal from copper and tin (by hand)", () => {
    const result = correct(9.8, "Cu90Sn10", "Cu88Sn10Zn2");
    // 8.82 kg copper are 88 % of 10.0227 kg, which holds 1.00227 kg tin and 0.20045 kg zinc.
    expect(result.totalKg).toBeCloseTo(8.82 / 0.88, 12);
    expect(result.add.map((item) => item.element)).toEqual(["Zn", "Sn"]);
    expect(result.add[0]!.massKg).toBeCloseTo((0.02 * 8.82) / 0.88, 12);
  });

  it("planCorrection keeps the recipe after loss: 10 kg Cu90Sn10, 2 % of tin lost (by hand)", () => {
    const result = correct(10, "Cu90Sn10", "Cu80Sn20", { losses: { Sn: 0.02 } });
    // 9 kg copper are 80 % of 11.25 kg with 2.25 kg tin; 0.98 kg is kept of what was there.
    expect(result.add[0]!.massKg).toBeCloseTo((2.25 - 0.98) / 0.98, 12);
    expect(result.pouredKg).toBeCloseTo(11.25, 12);
  });

  it("planCorrection checks the crucible and says how much of the metal it takes at once", () => {
    const result = correct(10, "Cu90Sn10", "Cu80Sn20", { crucibleKg: 9 });
    expect(result.crucible!.fits).toBe(false);
    expect(result.crucible!.largestHaveKg).toBeCloseTo(8, 12);
    expect(correct(10, "Cu90Sn10", "Cu80Sn20", { crucibleKg: 15 }).crucible!.fits).toBe(true);
  });

  it("planCorrection explains zinc that adding does not take out, and the dilution it would need", () => {
    const result = correct(10, "Cu88Sn10Zn2", "Cu80Sn20");
    expect(result).toMatchObject({ add: [], totalKg: null, crucible: null });
    // 0.2 kg of zinc; diluted to 0.25 % (C91300, from memory) in 80 kg.
    // Nine kilograms of copper and zinc are 80 % of 11.25 kg, in which 0.2 kg are 1.78 %.
    expect(result.cannot.join()).toMatch(/takes no zinc out.* 1\.78 % would be left, .* 80 kg/);
  });

  it("planCorrection lets a trace below its limit be, the copper giving way", () => {
    const result = correct(10, "Cu89.8Sn10Zn0.2", "Cu80Sn20");
    expect(result.cannot).toEqual([]);
    // Copper and zinc together are 80 %: 9 / 0.8 = 11.25 kg.
    expect(result.totalKg).toBeCloseTo(11.25, 12);
    // In excess of tin it is the tin that sets the total, 2.5 / 0.2, and copper that makes up for both.
    const rich = correct(10, "Cu74.8Sn25Zn0.2", "Cu80Sn20");
    expect(rich.totalKg).toBeCloseTo(12.5, 12);
    expect(rich.add).toEqual([{ element: "Cu", name: "copper", massKg: expect.closeTo(2.5, 12) }]);
  });

  it("planCorrection lets a foreign element be at its very limit: 0.25 % of zinc (C91300, from memory)", () => {
    expect(correct(10, "Cu79.75Sn20Zn0.25", "Cu80Sn20")).toMatchObject({ add: [], cannot: [] });
    expect(correct(10, "Cu79.74Sn20Zn0.26", "Cu80Sn20").cannot).toHaveLength(1);
  });

  it("planCorrection explains an element that may not be there at all", () => {
    expect(correct(1, "Cu90Sn9Bi1", "Cu80Sn20").cannot.join()).toMatch(/none is allowed in Cu80Sn20/);
  });
});
