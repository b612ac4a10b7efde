import { checkLosses, type Fractions, foreignIn, keptOf, limitOf, meltOf, type Recipe } from "./balance.ts";
import type { CastingVolume } from "./casting-volume.ts";
import { type MixRequest, type MixReturn, solveMix } from "./charge-mix.ts";
import { reasonsWithoutMix } from "./charge-reasons.ts";
import { type Composition, elementOf } from "./composition.ts";
import { InvalidPlanError } from "./error.ts";
import { kg, percent } from "./words.ts";

export interface ChargeRequest {
  castingKg: number;
  /** Where the mass comes from, when from a volume; carried along. */
  volume: CastingVolume | null;
  /** Gates, runners and risers, kilograms. */
  feedingKg: number;
  recipe: Recipe;
  /** Fraction of each element charged that melts away. */
  losses: Fractions;
  /** Metal at hand of known composition. */
  returns: MixReturn[];
  /** Symbols of the pure metals at hand; the recipe's elements where nothing is said. */
  newMetals: string[] | null;
  /** Price of a kilogram by symbol or by return's name; null asks for the least new metal. */
  prices: Fractions | null;
  crucibleKg: number | null;
}

export interface ChargeItem {
  name: string;
  /** Symbol of a pure metal; null for a return. */
  element: string | null;
  composition: Composition;
  massKg: number;
}

export interface ReturnUse {
  name: string;
  usedKg: number;
  leftKg: number;
  /** Why some of it is left; null when all goes in. */
  why: string | null;
}

export interface ChargeResult {
  wanted: Composition;
  castingKg: number;
  volume: CastingVolume | null;
  feedingKg: number;
  /** What to weigh out, the largest first; empty when the charge cannot be made. */
  items: ChargeItem[];
  /** Kilograms to weigh out; null when the charge cannot be made. */
  totalKg: number | null;
  /** What must be in the crucible when pouring: casting and feeding. */
  pouredKg: number;
  /** What melts away, by element. */
  lostKg: Record<string, number>;
  /** Composition poured. */
  pouredComposition: Composition | null;
  newMetalKg: number | null;
  returns: ReturnUse[];
  /** In the currency of the prices. */
  cost: number | null;
  crucible: { capacityKg: number; fits: boolean } | null;
  /** Why the charge cannot be made, and what would help; empty when it can. */
  cannot: string[];
}

/** Masses below this fraction of the pour are rounding, not metal. */
const NOTHING = 1e-9;

/**
 * What to weigh out so that, after melting loss, casting and feeding have the wanted composition. The recipe's
 * elements come out exactly, the base element giving way to what foreign elements are within their limits. With
 * returns it is the mix of least new metal, or the cheapest where prices are given (linear programming).
 *
 * A charge that cannot be made is explained in `cannot`, not approximated.
 *
 * @throws InvalidPlanError for values that cannot be meant.
 */
export function planCharge(request: ChargeRequest): ChargeResult {
  checkRequest(request);
  const { castingKg, feedingKg, recipe, losses, returns, prices } = request;
  const pouredKg = castingKg + feedingKg;
  const newMetals = request.newMetals ?? Object.keys(recipe.wanted);
  const mix: MixRequest = { pouredKg, recipe, losses, returns, newMetals, prices };
  const masses = solveMix(mix);
  if (masses === null) return refused(request, pouredKg, reasonsWithoutMix(mix));

  const items = itemsOf(masses, mix);
  const totalKg = items.reduce((sum, item) => sum + item.massKg, 0);
  const tooMuch = crucibleReason(request, totalKg);
  if (tooMuch !== null) return refused(request, pouredKg, [tooMuch]);

  const melt = meltOf(items, losses);
  return {
    wanted: recipe.wanted,
    castingKg,
    volume: request.volume,
    feedingKg,
    items,
    totalKg,
    pouredKg,
    lostKg: lostOf(items, losses),
    pouredComposition: mapValues(melt.elementsKg, (kg) => kg / melt.massKg),
    newMetalKg: items.reduce((sum, item) => sum + (item.element === null ? 0 : item.massKg), 0),
    returns: returns.map((item, i) => useOf(item, masses.returnsKg[i]!, mix, melt, masses.newKg)),
    cost: prices === null ? null : items.reduce((sum, item) => sum + item.massKg * priceOf(item, prices), 0),
    crucible: request.crucibleKg === null ? null : { capacityKg: request.crucibleKg, fits: true },
    cannot: [],
  };
}

function checkRequest({
  castingKg,
  feedingKg,
  losses,
  recipe,
  returns,
  newMetals,
  prices,
  crucibleKg,
}: ChargeRequest) {
  if (!(castingKg > 0)) throw new InvalidPlanError("the casting must weigh more than 0 kg; give its mass");
  if (!(feedingKg >= 0))
    throw new InvalidPlanError("the feeding system cannot weigh less than nothing; give 0 or more");
  if (crucibleKg !== null && !(crucibleKg > 0)) {
    throw new InvalidPlanError(
      "the crucible must hold more than 0 kg; give the mass of metal it is rated for",
    );
  }
  checkLosses(losses);
  const names = new Set<string>();
  for (const { name, massKg } of returns) {
    if (names.has(name) || name in recipe.wanted) {
      throw new InvalidPlanError(`two metals are called ${name}; give each return a name of its own`);
    }
    names.add(name);
    if (!(massKg > 0))
      throw new InvalidPlanError(`the return ${name} must weigh more than 0 kg; leave it out`);
  }
  for (const symbol of newMetals ?? []) {
    if (symbol in recipe.wanted) continue;
    throw new InvalidPlanError(`${symbol} is not in the wanted alloy; leave it out of the new metals`);
  }
  for (const symbol of prices === null ? [] : (newMetals ?? Object.keys(recipe.wanted))) {
    if (symbol in prices!) continue;
    throw new InvalidPlanError(
      `the cheapest mix needs the price of ${symbol} too; add it, or leave all prices out`,
    );
  }
  for (const name of Object.keys(prices ?? {})) {
    if (name in recipe.wanted || names.has(name)) continue;
    throw new InvalidPlanError(
      `a price is given for ${name}, which is neither a new metal nor a return here; check the name`,
    );
  }
}

function refused(request: ChargeRequest, pouredKg: number, cannot: string[]): ChargeResult {
  const { castingKg, volume, feedingKg, crucibleKg, recipe } = request;
  return {
    wanted: recipe.wanted,
    castingKg,
    volume,
    feedingKg,
    items: [],
    totalKg: null,
    pouredKg,
    lostKg: {},
    pouredComposition: null,
    newMetalKg: null,
    returns: [],
    cost: null,
    crucible: crucibleKg === null ? null : { capacityKg: crucibleKg, fits: false },
    cannot,
  };
}

function crucibleReason({ castingKg, crucibleKg }: ChargeRequest, totalKg: number): string | null {
  if (crucibleKg === null || totalKg <= crucibleKg) return null;
  const largestKg = (castingKg * crucibleKg) / totalKg;
  return `The charge weighs ${kg(totalKg)} and the crucible holds ${kg(crucibleKg)}: with this feeding and loss the largest casting from one heat weighs ${kg(largestKg)}.`;
}

function itemsOf(
  masses: { newKg: Record<string, number>; returnsKg: number[] },
  mix: MixRequest,
): ChargeItem[] {
  const items: ChargeItem[] = [];
  for (const [symbol, massKg] of Object.entries(masses.newKg)) {
    items.push({ name: elementOf(symbol).name, element: symbol, composition: { [symbol]: 1 }, massKg });
  }
  mix.returns.forEach(({ name, composition }, i) => {
    items.push({ name, element: null, composition, massKg: masses.returnsKg[i]! });
  });
  return items.filter((item) => item.massKg > NOTHING * mix.pouredKg).sort((a, b) => b.massKg - a.massKg);
}

function lostOf(items: ChargeItem[], losses: Fractions): Record<string, number> {
  const lost: Record<string, number> = {};
  for (const { composition, massKg } of items) {
    for (const [symbol, fraction] of Object.entries(composition)) {
      const gone = massKg * fraction * (1 - keptOf(losses, symbol));
      if (gone > 0) lost[symbol] = (lost[symbol] ?? 0) + gone;
    }
  }
  return lost;
}

function priceOf(item: ChargeItem, prices: Fractions): number {
  return prices[item.element ?? item.name] ?? 0;
}

function useOf(
  { name, massKg, composition }: MixReturn,
  usedKg: number,
  { pouredKg, recipe, prices }: MixRequest,
  melt: { elementsKg: Record<string, number> },
  newKg: Record<string, number>,
): ReturnUse {
  const leftKg = massKg - usedKg;
  if (leftKg <= NOTHING * pouredKg) return { name, usedKg: massKg, leftKg: 0, why: null };
  const full = foreignIn(composition, recipe).filter(
    (symbol) => (melt.elementsKg[symbol] ?? 0) >= limitOf(recipe, symbol) * pouredKg * (1 - NOTHING),
  );
  const newMetalKg = Object.values(newKg).reduce((a, b) => a + b, 0);
  let why = "more of it would take the charge off the recipe";
  if (full.length > 0) {
    const limits = full.map((symbol) => `${percent(limitOf(recipe, symbol))} ${elementOf(symbol).name}`);
    why = `the casting may carry no more than ${limits.join(" and ")}`;
  } else if (newMetalKg <= NOTHING * pouredKg) why = "the charge is full without it";
  else if (prices !== null)
    why = "the charge is cheaper without it, or more of it would take it off the recipe";
  return { name, usedKg, leftKg, why };
}

function mapValues(record: Record<string, number>, map: (value: number) => number): Record<string, number> {
  return Object.fromEntries(Object.entries(record).map(([key, value]) => [key, map(value)]));
}
