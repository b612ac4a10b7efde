import { baseOf, type Composition, fractionOf } from "./composition.ts";
import data from "./data/residual-limits.json" with { type: "json" };
import { InvalidPlanError } from "./error.ts";

/** Fractions by element: of what is charged that melts away, or of the casting that may be something else. */
export type Fractions = Readonly<Record<string, number>>;

/** Where the default limits of foreign elements come from. */
export const RESIDUAL_SOURCE = `${data.source}, ${data.status}`;

/**
 * A recipe: the wanted composition, its base element (copper in a bronze), which gives way to what else gets in,
 * and how much of each element that the recipe does not name a casting may carry.
 */
export interface Recipe {
  wanted: Composition;
  base: string;
  /** Fraction of the casting by foreign element. */
  limits: Fractions;
}

/** A recipe with the published limits, those given taking their place. */
export function recipeFor(wanted: Composition, limits: Fractions = {}): Recipe {
  const all: Record<string, number> = {};
  for (const { symbol, percent } of data.limits) all[symbol] = percent / 100;
  return { wanted, base: baseOf(wanted), limits: { ...all, ...limits } };
}

/** Limit of an element that the recipe does not name; 0 where none is published. */
export function limitOf(recipe: Recipe, symbol: string): number {
  return recipe.limits[symbol] ?? 0;
}

/** @throws InvalidPlanError unless every loss is at least 0 and below 1. */
export function checkLosses(losses: Fractions): void {
  for (const [symbol, loss] of Object.entries(losses)) {
    if (!(loss >= 0 && loss < 1)) {
      throw new InvalidPlanError(
        `a melting loss of ${symbol} must be 0 % or more and below 100 %; ${loss * 100} % is not`,
      );
    }
  }
}

/** What is left of an element after melting, as a fraction of what was charged. */
export function keptOf(losses: Fractions, symbol: string): number {
  return 1 - (losses[symbol] ?? 0);
}

/** Kilograms of each element that a kilogram of this metal leaves in the melt. */
export function keptPerKg(composition: Composition, losses: Fractions): Record<string, number> {
  const kept: Record<string, number> = {};
  for (const [symbol, fraction] of Object.entries(composition))
    kept[symbol] = fraction * keptOf(losses, symbol);
  return kept;
}

/** Adds up what several metals leave in the melt. */
export function meltOf(
  parts: readonly { composition: Composition; massKg: number }[],
  losses: Fractions,
): { massKg: number; elementsKg: Record<string, number> } {
  const elementsKg: Record<string, number> = {};
  let massKg = 0;
  for (const part of parts) {
    for (const [symbol, perKg] of Object.entries(keptPerKg(part.composition, losses))) {
      const kg = perKg * part.massKg;
      elementsKg[symbol] = (elementsKg[symbol] ?? 0) + kg;
      massKg += kg;
    }
  }
  return { massKg, elementsKg };
}

/** Elements a metal holds that the recipe does not name. */
export function foreignIn(composition: Composition, recipe: Recipe): string[] {
  return Object.keys(composition).filter((symbol) => fractionOf(recipe.wanted, symbol) === 0);
}
