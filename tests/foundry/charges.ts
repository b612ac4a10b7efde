import { recipeFor } from "../../src/foundry/balance.ts";
import { type ChargeRequest, planCharge } from "../../src/foundry/charge.ts";
import { parseComposition } from "../../src/foundry/composition.ts";

/** The alloy of most charges here. */
export const CU78 = recipeFor(parseComposition("Cu78Sn22"));

/** A charge of 12 kg of it from new metal, changed by `over`. */
export function charge(over: Partial<ChargeRequest> = {}) {
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

/** What of this metal is weighed out, kg. */
export const massOf = (result: ReturnType<typeof planCharge>, name: string): number =>
  result.items.find((item) => item.name === name)?.massKg ?? 0;

/** A return at hand. */
export const gates = (massKg: number, formula: string, name = "gates") => ({
  name,
  massKg,
  composition: parseComposition(formula),
});
