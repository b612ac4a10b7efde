import { keptPerKg, limitOf } from "./balance.ts";
import { foreignElements, largestPourKg, type MixRequest } from "./charge-mix.ts";
import { type Composition, elementOf, fractionOf } from "./composition.ts";
import { kg, percent } from "./words.ts";

/**
 * Why no mix of the metal at hand makes this pour, most telling first, and what would help. Looked for in this
 * order: an element without a source; a content no source reaches; too little metal; limits of foreign elements.
 */
export function reasonsWithoutMix(request: MixRequest): string[] {
  const { recipe, returns, newMetals, pouredKg } = request;
  const metals = [
    ...newMetals.map((symbol) => ({ [symbol]: 1 })),
    ...returns.map((item) => item.composition),
  ];
  const reasonsFor = (symbols: string[]): string[] =>
    symbols.flatMap((symbol) => outOfReach(symbol, recipe.wanted[symbol]!, metals, request) ?? []);
  // Too little of an alloying element is too much of the base: said once.
  const reasons = reasonsFor(Object.keys(recipe.wanted).filter((symbol) => symbol !== recipe.base));
  if (reasons.length > 0) return reasons;
  const ofBase = reasonsFor([recipe.base]);
  if (ofBase.length > 0) return ofBase;
  const largestKg = largestPourKg(request);
  if (largestKg > 1e-9 * pouredKg) {
    return [
      `The metal at hand makes ${kg(largestKg)} of this alloy at most, and ${kg(pouredKg)} are to be poured: add new metal or more returns, or pour less.`,
    ];
  }
  const limits = foreignElements(request).map(
    (symbol) => `${elementOf(symbol).name} ${percent(limitOf(recipe, symbol), 3)}`,
  );
  const held = limits.length > 0 ? ` within the limits of what it may carry (${limits.join(", ")})` : "";
  return [
    `No mix of the metal at hand has this composition${held}: add the missing metal new, or change the recipe.`,
  ];
}

function outOfReach(
  symbol: string,
  wanted: number,
  metals: Composition[],
  request: MixRequest,
): string | null {
  const name = elementOf(symbol).name;
  const contents = metals.map((metal) => {
    const kept = keptPerKg(metal, request.losses);
    const total = Object.values(kept).reduce((a, b) => a + b, 0);
    return total > 0 ? fractionOf(kept, symbol) / total : 0;
  });
  const most = Math.max(0, ...contents);
  const least = Math.min(1, ...contents);
  if (most === 0)
    return `Nothing at hand holds ${name}, and the alloy wants ${percent(wanted)}: add ${name}.`;
  // The base element may lie lower than written by what foreign elements take.
  const foreign = symbol === request.recipe.base ? foreignElements(request) : [];
  const giving = foreign.reduce((sum, other) => sum + limitOf(request.recipe, other), 0);
  if (most < wanted - giving - 1e-12) {
    return `Nothing at hand leaves more than ${percent(most)} ${name} in the melt, and the alloy wants ${percent(wanted)}: add ${name}.`;
  }
  if (least > wanted + 1e-12) {
    return `Nothing at hand leaves less than ${percent(least)} ${name} in the melt, and the alloy wants ${percent(wanted)}: add metal without it.`;
  }
  return null;
}
