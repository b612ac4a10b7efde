import { describe, expect, it } from "vitest";
import { recipeFor } from "../../src/foundry/balance.ts";
import type { ChargeRequest } from "../../src/foundry/charge.ts";
import { parseComposition } from "../../src/foundry/composition.ts";
import { CU78, charge, gates, massOf } from "./charges.ts";

describe("planCharge", () => {
  it.each<[string, Partial<ChargeRequest>, RegExp]>([
    ["no mass", { castingKg: 0 }, /more than 0 kg/],
    ["a mass that is no number", { castingKg: Number.NaN }, /more than 0 kg/],
    ["negative feeding", { feedingKg: -1 }, /less than nothing/],
    ["a loss of everything", { losses: { Sn: 1 } }, /below 100 %/],
    ["a negative loss", { losses: { Sn: -0.1 } }, /0 % or more/],
    ["an empty crucible", { crucibleKg: 0 }, /must hold more/],
    ["a return of nothing", { returns: [gates(0, "Cu80Sn20")] }, /return gates must weigh/],
    [
      "two returns of one name",
      { returns: [gates(1, "Cu80Sn20"), gates(2, "Cu90Sn10")] },
      /two metals are called gates/,
    ],
    ["a return called Cu", { returns: [gates(1, "Cu80Sn20", "Cu")] }, /two metals are called Cu/],
    ["new metal outside the alloy", { newMetals: ["Cu", "Zn"] }, /Zn is not in the wanted alloy/],
    ["a price missing", { prices: { Cu: 9 } }, /price of Sn too/],
    ["a price of nothing here", { prices: { Cu: 9, Sn: 30, gold: 1 } }, /gold, which is neither/],
  ])("planCharge refuses %s", (_, over, message) => {
    expect(() => charge(over)).toThrow(message);
  });

  it("planCharge of 12 kg Cu78Sn22 without loss is 9.36 kg copper and 2.64 kg tin (by hand)", () => {
    const result = charge();
    expect(result.items.map((item) => item.name)).toEqual(["copper", "tin"]);
    expect(result.crucible).toBeNull();
    // The largest first, whatever the order of the recipe.
    const turned = charge({ recipe: recipeFor(parseComposition("Sn22Cu78")) });
    expect(turned.items.map((item) => item.name)).toEqual(["copper", "tin"]);
    expect(massOf(result, "copper")).toBeCloseTo(9.36, 12);
    expect(massOf(result, "tin")).toBeCloseTo(2.64, 12);
    expect(result.totalKg).toBeCloseTo(12, 12);
    expect(result.lostKg).toEqual({});
  });

  it("planCharge makes good for the loss: 30 % feeding and 1 % of tin lost (by hand)", () => {
    const result = charge({ feedingKg: 3.6, losses: { Sn: 0.01 } });
    // 15.6 kg poured: 12.168 kg copper, 3.432 kg tin, for which 3.432 / 0.99 are charged.
    expect(massOf(result, "copper")).toBeCloseTo(12.168, 12);
    expect(massOf(result, "tin")).toBeCloseTo(3.432 / 0.99, 12);
    expect(result.lostKg.Sn).toBeCloseTo((3.432 / 0.99) * 0.01, 12);
    expect(result.pouredComposition!.Sn).toBeCloseTo(0.22, 14);
  });

  it("planCharge counts what melts away of a return and of new metal: 10 % of the tin (by hand)", () => {
    const result = charge({ returns: [gates(8, "Cu90Sn10")], losses: { Sn: 0.1 } });
    // Of 2.64 kg tin poured, 0.8 x 0.9 come with the return; the rest is charged over 0.9.
    const newTin = (2.64 - 0.72) / 0.9;
    expect(massOf(result, "tin")).toBeCloseTo(newTin, 10);
    expect(result.lostKg.Sn).toBeCloseTo(0.1 * (0.8 + newTin), 10);
  });

  it("planCharge takes the earlier of two returns that serve as well", () => {
    const result = charge({ returns: [gates(12, "Cu78Sn22", "first"), gates(12, "Cu78Sn22", "second")] });
    expect(massOf(result, "first")).toBeCloseTo(12, 10);
    expect(massOf(result, "second")).toBe(0);
  });

  it("planCharge of a return alone that has the recipe uses it and no new metal", () => {
    const result = charge({ returns: [gates(20, "Cu78Sn22")] });
    expect(result.items).toHaveLength(1);
    expect(massOf(result, "gates")).toBeCloseTo(12, 10);
    expect(result.newMetalKg).toBe(0);
    expect(result.returns[0]).toMatchObject({ why: "the charge is full without it" });
  });

  it("planCharge brings a lean return up with tin: 8 kg Cu90Sn10 in 12 kg Cu78Sn22 (by hand)", () => {
    const result = charge({ returns: [gates(8, "Cu90Sn10")] });
    expect(massOf(result, "gates")).toBeCloseTo(8, 10);
    expect(massOf(result, "tin")).toBeCloseTo(2.64 - 0.8, 10);
    expect(massOf(result, "copper")).toBeCloseTo(9.36 - 7.2, 10);
    expect(result.returns[0]!.why).toBeNull();
  });

  it("planCharge stops a lean return where copper is full, and says so", () => {
    const result = charge({ returns: [gates(50, "Cu90Sn10")] });
    // Copper 9.36 kg is full at 10.4 kg of it; the rest is tin.
    expect(massOf(result, "gates")).toBeCloseTo(10.4, 10);
    expect(massOf(result, "tin")).toBeCloseTo(1.6, 10);
    expect(result.returns[0]!.leftKg).toBeCloseTo(39.6, 10);
    expect(result.returns[0]!.why).toBe("more of it would take the charge off the recipe");
  });

  it("planCharge lets a zinc-bearing return in up to 0.25 % (C91300, from memory), copper giving way and tin exact", () => {
    const result = charge({ feedingKg: 3.6, returns: [gates(5, "Cu88Sn10Zn2", "old")] });
    // 15.6 kg x 0.25 % = 39 g of zinc are in 1.95 kg of it.
    expect(massOf(result, "old")).toBeCloseTo(1.95, 9);
    expect(result.pouredComposition!.Sn).toBeCloseTo(0.22, 12);
    expect(result.pouredComposition!.Zn).toBeCloseTo(0.0025, 12);
    expect(result.returns[0]!.why).toMatch(/no more than 0.25 % zinc/);
  });

  it("planCharge names the foreign elements that are full, and no other", () => {
    const whyOf = (formula: string) => charge({ returns: [gates(50, formula)] }).returns[0]!.why;
    expect(whyOf("Cu87.5Sn10Zn2Pb0.5")).toBe("the casting may carry no more than 0.25 % zinc");
    expect(whyOf("Cu86Sn10Zn2Pb2")).toBe("the casting may carry no more than 0.25 % zinc and 0.25 % lead");
  });

  it("planCharge takes a limit of the user's in place of the published one", () => {
    const none = charge({
      recipe: recipeFor(CU78.wanted, { Zn: 0 }),
      returns: [gates(5, "Cu88Sn10Zn2", "old")],
    });
    expect(massOf(none, "old")).toBe(0);
    const all = charge({
      recipe: recipeFor(CU78.wanted, { Zn: 0.02 }),
      returns: [gates(5, "Cu88Sn10Zn2", "old")],
    });
    expect(massOf(all, "old")).toBeCloseTo(5, 10);
  });

  it("planCharge finds the least new metal of three returns, no worse than a fine search of the same mixes", () => {
    const returns = [gates(4, "Cu90Sn10", "a"), gates(3, "Cu70Sn30", "b"), gates(2, "Cu88Sn10Zn2", "c")];
    const result = charge({ returns });
    let best = Number.POSITIVE_INFINITY;
    for (let a = 0; a <= 4; a += 0.1) {
      for (let b = 0; b <= 3; b += 0.1) {
        for (let c = 0; c <= 2; c += 0.1) {
          const tin = 2.64 - 0.1 * a - 0.3 * b - 0.1 * c;
          const copper = 12 - 2.64 - 0.9 * a - 0.7 * b - 0.9 * c;
          if (tin < 0 || copper < 0 || 0.02 * c > 0.0025 * 12) continue;
          best = Math.min(best, tin + copper);
        }
      }
    }
    expect(result.newMetalKg!).toBeLessThanOrEqual(best + 1e-9);
    // A grid of 0.1 kg in three masses can miss the best by three steps.
    expect(result.newMetalKg!).toBeGreaterThan(best - 0.3);
  });

  it("planCharge takes the cheaper way when prices are given, and adds them up", () => {
    const returns = [gates(12, "Cu78Sn22", "dear")];
    const cheap = charge({ returns, prices: { Cu: 9, Sn: 30, dear: 20 } });
    expect(massOf(cheap, "dear")).toBe(0);
    expect(cheap.cost).toBeCloseTo(9.36 * 9 + 2.64 * 30, 9);
    expect(cheap.returns[0]!.why).toMatch(/cheaper without/);
    const other = charge({ returns, prices: { Cu: 9, Sn: 30, dear: 1 } });
    expect(massOf(other, "dear")).toBeCloseTo(12, 10);
    expect(other.cost).toBeCloseTo(12, 9);
  });
});
