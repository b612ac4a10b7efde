import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { meltOf, recipeFor } from "../../src/foundry/balance.ts";
import { type ChargeRequest, planCharge } from "../../src/foundry/charge.ts";
import { parseComposition } from "../../src/foundry/composition.ts";

const CU78 = recipeFor(parseComposition("Cu78Sn22"));

function charge(over: Partial<ChargeRequest> = {}) {
  return planCharge({
    castingKg: 12,
    volume: null,
    feedingKg: 0,
    recipe: CU78,
    losses: {},
    returns: [],
    newMetals: null,
    prices: null,
    crucibleKg: null,
    ...over,
  });
}

const massOf = (result: ReturnType<typeof planCharge>, name: string): number =>
  result.items.find((item) => item.name === name)?.massKg ?? 0;

const gates = (massKg: number, formula: string, name = "gates") => ({
  name,
  massKg,
  composition: parseComposition(formula),
});

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

  it("planCharge settles 5,000 degenerate charges, of few compositions in round masses (own generator, seed 1)", () => {
    let seed = 1;
    const random = (): number => {
      seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
      return seed / 2 ** 32;
    };
    const pick = <T>(items: readonly T[]): T => items[Math.floor(random() * items.length)]!;
    for (let n = 0; n < 5000; n++) {
      const tin = 5 + Math.floor(random() * 25);
      const returns = Array.from({ length: Math.floor(random() * 7) }, (_, i) =>
        gates(
          pick([0.1, 1, 1, 5, 12]),
          `CuSn${pick([5, 10, 10, tin, 20, 30])}Zn${pick([0, 0, 2, 5])}Pb${pick([0, 0, 1])}`,
          `r${i}`,
        ),
      );
      const newMetals = pick<string[] | null>([null, null, ["Cu"], ["Sn"], []]);
      const recipe = recipeFor({ Cu: 1 - tin / 100, Sn: tin / 100 });
      const result = charge({
        recipe,
        returns,
        newMetals,
        losses: random() < 0.5 ? {} : { Sn: 0.01, Zn: 0.2 },
      });
      if (newMetals === null) expect(result.cannot).toEqual([]);
      if (result.cannot.length > 0) continue;
      // The solver keeps twelve digits of the pour.
      expect(Math.abs(result.pouredComposition!.Sn! - tin / 100)).toBeLessThan(1e-11);
    }
  });

  it("planCharge closes every mass balance after loss, over 300 random charges (seed 7)", () => {
    const tin = fc.integer({ min: 5, max: 30 });
    const arbitrary = fc.record({
      castingKg: fc.double({ min: 0.1, max: 5000, noNaN: true }),
      feeding: fc.double({ min: 0, max: 1, noNaN: true }),
      wantTin: tin,
      lossSn: fc.double({ min: 0, max: 0.1, noNaN: true }),
      lossZn: fc.double({ min: 0, max: 0.5, noNaN: true }),
      returns: fc.array(
        fc.record({
          part: fc.double({ min: 0.01, max: 1, noNaN: true }),
          tin,
          zinc: fc.integer({ min: 0, max: 5 }),
        }),
        {
          maxLength: 4,
        },
      ),
    });
    fc.assert(
      fc.property(arbitrary, ({ castingKg, feeding, wantTin, lossSn, lossZn, returns }) => {
        const losses = { Sn: lossSn, Zn: lossZn };
        const recipe = recipeFor({ Cu: 1 - wantTin / 100, Sn: wantTin / 100 });
        const result = charge({
          castingKg,
          feedingKg: castingKg * feeding,
          recipe,
          losses,
          returns: returns.map(({ part, tin: sn, zinc }, i) => ({
            name: `r${i}`,
            massKg: part * castingKg,
            composition: parseComposition(`CuSn${sn}Zn${zinc}`),
          })),
        });
        expect(result.cannot).toEqual([]);
        const melt = meltOf(result.items, losses);
        // The solver keeps twelve digits of the pour; items below 1e-9 of it are left out.
        expect(Math.abs(melt.massKg / result.pouredKg - 1)).toBeLessThan(1e-8);
        expect(Math.abs(melt.elementsKg.Sn! / melt.massKg - wantTin / 100)).toBeLessThan(1e-8);
        expect((melt.elementsKg.Zn ?? 0) / melt.massKg).toBeLessThan(0.0025 + 1e-8);
        for (const item of result.items) expect(item.massKg).toBeGreaterThan(0);
      }),
      { numRuns: 300, seed: 7 },
    );
  });
});
