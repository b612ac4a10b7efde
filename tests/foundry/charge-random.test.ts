import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { meltOf, recipeFor } from "../../src/foundry/balance.ts";
import { parseComposition } from "../../src/foundry/composition.ts";
import { charge, gates } from "./charges.ts";

describe("planCharge of charges drawn at random", () => {
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
