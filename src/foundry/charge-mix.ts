import { type Constraint, type Solution, solve } from "yalps";
import { type Fractions, foreignIn, keptOf, keptPerKg, limitOf, type Recipe } from "./balance.ts";
import { type Composition, fractionOf } from "./composition.ts";

/** Metal at hand: gates, risers, old castings, pigs. */
export interface MixReturn {
  name: string;
  /** How much there is of it. */
  massKg: number;
  composition: Composition;
}

export interface MixRequest {
  /** What must be in the crucible when pouring. */
  pouredKg: number;
  recipe: Recipe;
  losses: Fractions;
  returns: MixReturn[];
  /** Symbols of the pure metals at hand, without limit of mass. */
  newMetals: string[];
  prices: Fractions | null;
}

export interface Mix {
  /** Kilograms of pure metal by symbol. */
  newKg: Record<string, number>;
  /** Kilograms of each return, in the order of the request. */
  returnsKg: number[];
}

/** The solver works on fractions of the pour; twelve digits of it are far below a milligram in a tonne. */
const PRECISION = 1e-12;
/** Far below any price or mass that matters, far above the solver's precision. */
const TIE_BREAK = 1e-9;
const TOTAL = "total";
const COST = "cost";

/** What one unit of a metal does to every line of the model. */
function coefficientsOf(composition: Composition, request: MixRequest, cost: number): Record<string, number> {
  const kept = keptPerKg(composition, request.losses);
  const total = Object.values(kept).reduce((a, b) => a + b, 0);
  return { ...kept, [TOTAL]: total, [COST]: cost };
}

function variablesOf(request: MixRequest): Map<string, Record<string, number>> {
  const { newMetals, returns, prices } = request;
  const variables = new Map<string, Record<string, number>>();
  for (const symbol of newMetals) {
    variables.set(`new ${symbol}`, coefficientsOf({ [symbol]: 1 }, request, prices ? prices[symbol]! : 1));
  }
  returns.forEach(({ name, composition }, i) => {
    // Of equally good mixes the one with the earlier returns: a rule, and no ties for the solver to go round in.
    const coefficients = coefficientsOf(composition, request, (prices?.[name] ?? 0) + TIE_BREAK * (i + 1));
    variables.set(`return ${i}`, { ...coefficients, [`at hand ${i}`]: 1 });
  });
  return variables;
}

/** Elements that the recipe does not name and some return holds. */
export function foreignElements({ recipe, returns }: MixRequest): string[] {
  return [...new Set(returns.flatMap(({ composition }) => foreignIn(composition, recipe)))];
}

/**
 * The mix of least new metal, or of least cost, that leaves the recipe in the melt: a linear programme in the
 * masses, with one equation for each of the recipe's elements but its base, one for the total, and a limit for each
 * foreign element and each return.
 *
 * @returns null when no mix meets them.
 */
export function solveMix(request: MixRequest): Mix | null {
  const { pouredKg, recipe, returns } = request;
  const constraints: Record<string, Constraint> = { [TOTAL]: { equal: 1 } };
  for (const [symbol, fraction] of Object.entries(recipe.wanted)) {
    if (symbol !== recipe.base) constraints[symbol] = { equal: fraction };
  }
  for (const symbol of foreignElements(request)) constraints[symbol] = { max: limitOf(recipe, symbol) };
  returns.forEach(({ massKg }, i) => {
    constraints[`at hand ${i}`] = { max: massKg / pouredKg };
  });
  const solution = settled("minimize", COST, constraints, variablesOf(request));
  if (solution.status === "infeasible") return null;
  return sharpened(new Map(solution.variables), request);
}

/** The new metals once more, from the balance of their element alone, so that it closes to the last bit. */
function sharpened(solved: Map<string, number>, request: MixRequest): Mix {
  const { pouredKg, recipe, losses, returns, newMetals } = request;
  const returnsKg = returns.map(({ massKg }, i) =>
    Math.min(massKg, (solved.get(`return ${i}`) ?? 0) * pouredKg),
  );
  const given: Record<string, number> = {};
  let givenKg = 0;
  returns.forEach(({ composition }, i) => {
    for (const [symbol, kept] of Object.entries(keptPerKg(composition, losses))) {
      given[symbol] = (given[symbol] ?? 0) + kept * returnsKg[i]!;
      if (fractionOf(recipe.wanted, symbol) === 0) givenKg += kept * returnsKg[i]!;
    }
  });
  const newKg: Record<string, number> = {};
  for (const symbol of newMetals) {
    // What is foreign takes the place of the base element.
    const wantedKg = pouredKg * fractionOf(recipe.wanted, symbol) - (symbol === recipe.base ? givenKg : 0);
    newKg[symbol] = Math.max(0, (wantedKg - (given[symbol] ?? 0)) / keptOf(losses, symbol));
  }
  return { newKg, returnsKg };
}

/**
 * The largest pour of the recipe that the metal at hand allows.
 *
 * @returns kilograms; 0 when no mix at all meets the recipe.
 */
export function largestPourKg(request: MixRequest): number {
  const { pouredKg, recipe, returns } = request;
  const constraints: Record<string, Constraint> = { [TOTAL]: { equal: 0 } };
  const pour: Record<string, number> = { [TOTAL]: -1, pour: 1 };
  for (const [symbol, fraction] of Object.entries(recipe.wanted)) {
    if (symbol === recipe.base) continue;
    constraints[symbol] = { equal: 0 };
    pour[symbol] = -fraction;
  }
  for (const symbol of foreignElements(request)) {
    constraints[symbol] = { max: 0 };
    pour[symbol] = -limitOf(recipe, symbol);
  }
  returns.forEach(({ massKg }, i) => {
    constraints[`at hand ${i}`] = { max: massKg / pouredKg };
  });
  const variables = variablesOf(request).set("pour", pour);
  return settled("maximize", "pour", constraints, variables).result * pouredKg;
}

/** Solves a model that has a solution, or shows that it has none. */
function settled(
  direction: "minimize" | "maximize",
  objective: string,
  constraints: Record<string, Constraint>,
  variables: Map<string, Record<string, number>>,
): Solution {
  const solution = solve(
    { direction, objective, constraints, variables },
    { precision: PRECISION, checkCycles: true },
  );
  if (solution.status === "optimal" || solution.status === "infeasible") return solution;
  throw new Error(`the mix of returns was not settled (${solution.status})`);
}
