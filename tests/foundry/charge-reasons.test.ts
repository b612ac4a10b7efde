import { describe, expect, it } from "vitest";
import { recipeFor } from "../../src/foundry/balance.ts";
import { parseComposition } from "../../src/foundry/composition.ts";
import { charge, gates } from "./charges.ts";

describe("why a charge cannot be made", () => {
  it("planCharge explains a metal that nothing holds", () => {
    const result = charge({ newMetals: ["Cu"], returns: [] });
    expect(result).toMatchObject({ items: [], totalKg: null, pouredComposition: null });
    expect(result.cannot.join()).toMatch(/Nothing at hand holds tin, and the alloy wants 22 %: add tin/);
  });

  it("planCharge explains a content that no return reaches", () => {
    const result = charge({ newMetals: ["Cu"], returns: [gates(50, "Cu80Sn20")] });
    expect(result.cannot).toEqual([
      "Nothing at hand leaves more than 20 % tin in the melt, and the alloy wants 22 %: add tin.",
    ]);
    const rich = charge({ newMetals: ["Sn"], returns: [gates(50, "Cu70Sn30")] });
    expect(rich.cannot).toEqual([
      "Nothing at hand leaves less than 30 % tin in the melt, and the alloy wants 22 %: add metal without it.",
    ]);
    // Of 20 % tin a tenth is lost: 18 in 98 is left.
    const lossy = { newMetals: ["Cu"], returns: [gates(50, "Cu80Sn20")], losses: { Sn: 0.1 } };
    expect(charge(lossy).cannot.join()).toMatch(/leaves more than 18\.37 % tin in the melt/);
  });

  it("planCharge explains a base element out of reach, what foreign elements may take allowed for", () => {
    const only = (formula: string) => charge({ newMetals: [], returns: [gates(50, formula)] }).cannot;
    expect(only("Cu70Sn22Zn8")).toEqual([
      "Nothing at hand leaves more than 70 % copper in the melt, and the alloy wants 78 %: add copper.",
    ]);
    // Zinc may take 0.25 % of the copper's place, and none of the tin's.
    expect(only("Cu77.8Sn22Zn0.2")).toEqual([]);
    expect(only("Cu77.9Sn21.9Zn0.2")).toEqual([
      "Nothing at hand leaves more than 21.9 % tin in the melt, and the alloy wants 22 %: add tin.",
    ]);
  });

  it("planCharge explains a recipe between the metals at hand that no mix of them meets", () => {
    const gunmetal = recipeFor(parseComposition("Cu88Sn10Zn2"));
    const two = [gates(50, "Cu90Sn10", "a"), gates(50, "Cu80Zn20", "b")];
    // All the tin wanted takes all of a, which leaves no room for the zinc of b.
    expect(charge({ recipe: gunmetal, newMetals: [], returns: two }).cannot).toEqual([
      "No mix of the metal at hand has this composition: add the missing metal new, or change the recipe.",
    ]);
  });

  it("planCharge explains too little metal, and how much of the alloy there is in it", () => {
    const result = charge({ newMetals: ["Cu"], returns: [gates(4, "Cu67Sn33")] });
    // 1.32 kg of tin make 6 kg at 22 %.
    expect(result.cannot.join()).toMatch(/makes 6 kg of this alloy at most, and 12 kg are to be poured/);
    // Four kilograms of the alloy itself, pure or with a trace that it may carry, make four.
    for (const formula of ["Cu78Sn22", "Cu77.8Sn22Zn0.2"]) {
      const four = charge({ newMetals: [], returns: [gates(4, formula)] });
      expect(four.cannot.join(), formula).toMatch(/^The metal at hand makes 4 kg of this alloy at most/);
    }
  });

  it("planCharge explains limits of foreign elements that no mix keeps", () => {
    const result = charge({ newMetals: ["Cu"], returns: [gates(40, "Cu60Sn30Zn10", "scrap")] });
    expect(result.cannot.join()).toMatch(/within the limits .*\(zinc 0.25 %\)/);
    const both = charge({ newMetals: ["Cu"], returns: [gates(40, "Cu60Sn30Zn5Pb5", "scrap")] });
    expect(both.cannot.join()).toMatch(/\(zinc 0.25 %, lead 0.25 %\): add/);
  });

  it("planCharge explains a crucible too small, and the largest casting from it", () => {
    const result = charge({ feedingKg: 3.6, crucibleKg: 13 });
    expect(result.crucible).toEqual({ capacityKg: 13, fits: false });
    expect(result.cannot.join()).toMatch(
      /weighs 15.6 kg and the crucible holds 13 kg.*largest casting .* 10 kg/,
    );
    expect(charge({ crucibleKg: 12 }).crucible).toEqual({ capacityKg: 12, fits: true });
  });

  it("planCharge explains that nothing at all is at hand", () => {
    expect(charge({ newMetals: [] }).cannot.join()).toMatch(/Nothing at hand holds tin/);
  });
});
