import {
  checkLosses,
  type Fractions,
  foreignIn,
  keptOf,
  keptPerKg,
  limitOf,
  type Recipe,
} from "./balance.ts";
import { type Composition, elementOf, formatComposition, fractionOf } from "./composition.ts";
import { InvalidPlanError } from "./error.ts";
import { kg, percent } from "./words.ts";

export interface CorrectionRequest {
  haveKg: number;
  have: Composition;
  recipe: Recipe;
  /** Fraction of each element, had or added, that melts away. */
  losses: Fractions;
  crucibleKg: number | null;
}

export interface CorrectionResult {
  have: { massKg: number; composition: Composition };
  want: Composition;
  /** Pure metal to add, the largest first; empty when nothing is missing or it cannot be corrected. */
  add: { element: string; name: string; massKg: number }[];
  /** What goes into the crucible, metal had and metal added; null when it cannot be corrected. */
  totalKg: number | null;
  /** What is left of it after melting loss. */
  pouredKg: number | null;
  /** The check against the crucible; `largestHaveKg` is how much of this metal can be corrected in it at once. */
  crucible: { capacityKg: number; fits: boolean; largestHaveKg: number } | null;
  /** Why adding metal does not lead there, and what would help; empty when it does. */
  cannot: string[];
}

/** Masses below this fraction of the heat are rounding, not metal. */
const NOTHING = 1e-12;

/**
 * Pure metal to add to a heat or a wrong casting so that it has the wanted composition, as little as does it:
 * metal only goes in, so the total is set by the element that is most in excess. 1 kg of Cu90Sn10 takes 0.125 kg
 * of tin to be Cu80Sn20.
 *
 * What adding cannot mend (an element the recipe does not name, above its limit) is explained in `cannot`.
 *
 * @throws InvalidPlanError for values that cannot be meant.
 */
export function planCorrection(request: CorrectionRequest): CorrectionResult {
  const { haveKg, have, recipe, losses, crucibleKg } = request;
  if (!(haveKg > 0))
    throw new InvalidPlanError("the metal to correct must weigh more than 0 kg; give its mass");
  if (crucibleKg !== null && !(crucibleKg > 0)) {
    throw new InvalidPlanError(
      "the crucible must hold more than 0 kg; give the mass of metal it is rated for",
    );
  }
  checkLosses(losses);
  const keptKg: Record<string, number> = {};
  for (const [symbol, perKg] of Object.entries(keptPerKg(have, losses))) keptKg[symbol] = perKg * haveKg;
  const foreign = foreignIn(have, recipe);
  const foreignKg = foreign.reduce((sum, symbol) => sum + keptKg[symbol]!, 0);
  const pouredKg = leastPourKg(recipe, keptKg, foreignKg);

  const result = { have: { massKg: haveKg, composition: have }, want: recipe.wanted };
  const cannot = foreign.flatMap((symbol) => excessOf(symbol, keptKg[symbol]!, pouredKg, recipe, have) ?? []);
  if (cannot.length > 0) {
    return { ...result, add: [], totalKg: null, pouredKg: null, crucible: null, cannot };
  }
  const add = additions(recipe, losses, keptKg, foreignKg, pouredKg);
  const totalKg = add.reduce((sum, item) => sum + item.massKg, haveKg);
  return {
    ...result,
    add,
    totalKg,
    pouredKg,
    crucible:
      crucibleKg === null
        ? null
        : {
            capacityKg: crucibleKg,
            fits: totalKg <= crucibleKg,
            largestHaveKg: (haveKg * crucibleKg) / totalKg,
          },
    cannot: [],
  };
}

/** Smallest pour of the recipe that holds all of this metal; the base element gives way to what is foreign. */
function leastPourKg(recipe: Recipe, keptKg: Record<string, number>, foreignKg: number): number {
  let least = 0;
  for (const [symbol, fraction] of Object.entries(recipe.wanted)) {
    const heldKg = (keptKg[symbol] ?? 0) + (symbol === recipe.base ? foreignKg : 0);
    least = Math.max(least, heldKg / fraction);
  }
  return least;
}

function additions(
  recipe: Recipe,
  losses: Fractions,
  keptKg: Record<string, number>,
  foreignKg: number,
  pouredKg: number,
): CorrectionResult["add"] {
  return Object.entries(recipe.wanted)
    .map(([symbol, fraction]) => {
      const heldKg = (keptKg[symbol] ?? 0) + (symbol === recipe.base ? foreignKg : 0);
      const massKg = (pouredKg * fraction - heldKg) / keptOf(losses, symbol);
      return { element: symbol, name: elementOf(symbol).name, massKg };
    })
    .filter(({ massKg }) => massKg > NOTHING * pouredKg)
    .sort((a, b) => b.massKg - a.massKg);
}

function excessOf(
  symbol: string,
  heldKg: number,
  pouredKg: number,
  recipe: Recipe,
  have: Composition,
): string | null {
  const limit = limitOf(recipe, symbol);
  if (heldKg <= limit * pouredKg * (1 + NOTHING)) return null;
  const name = elementOf(symbol).name;
  const dilution =
    limit > 0
      ? `diluting it to ${percent(limit)} would make ${kg(heldKg / limit)} of metal`
      : `none is allowed in ${formatComposition(recipe.wanted)}`;
  return (
    `Adding metal takes no ${name} out: ${formatComposition(have)} holds ${percent(fractionOf(have, symbol))}, ` +
    `${percent(heldKg / pouredKg)} would be left, and ${dilution}. Use it as a small part of a charge, or allow more ${name}.`
  );
}
