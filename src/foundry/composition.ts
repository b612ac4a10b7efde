import data from "./data/elements.json" with { type: "json" };
import { InvalidPlanError } from "./error.ts";

/** Mass fractions by element symbol, each above 0, summing to 1. */
export type Composition = Readonly<Record<string, number>>;

export interface Element {
  symbol: string;
  name: string;
  /** Solid, 20 °C. */
  densityKgM3: number;
}

const ELEMENTS = new Map<string, Element>(data.elements.map((element) => [element.symbol, element]));

/** The elements this tool holds data on, in the order of the data file. */
export const KNOWN_SYMBOLS: readonly string[] = [...ELEMENTS.keys()];

/** Written per cents must add up to 100 to within this, so that 66.7 and 33.3 pass and a slip does not. */
const SUM_TOLERANCE_PERCENT = 0.051;

/** @throws InvalidPlanError for a symbol without data. */
export function elementOf(symbol: string): Element {
  const element = ELEMENTS.get(symbol);
  if (element) return element;
  throw new InvalidPlanError(
    `${symbol} is not an element known here; known are ${KNOWN_SYMBOLS.join(", ")} (capital first, as in Cu, Sn)`,
  );
}

/**
 * Reads a composition as chemists write it, in mass per cent: "Cu80Sn20", "Cu78.5Sn21.5", "Cu88Sn10Zn2".
 * One element may stand without a number and then makes up the rest: "CuSn20" is Cu80Sn20.
 *
 * @throws InvalidPlanError where it is no such formula, an element is unknown or named twice, or the sum is not 100.
 */
export function parseComposition(text: string): Composition {
  const trimmed = text.trim();
  if (!/^(?:[A-Z][a-z]?(?:\d+(?:\.\d+)?)?)+$/.test(trimmed)) {
    throw new InvalidPlanError(
      `"${text}" is not a composition; write symbols and mass per cent that add up to 100, for example Cu80Sn20`,
    );
  }
  const percents: Record<string, number> = {};
  let rest: string | null = null;
  for (const [, symbol, number] of trimmed.matchAll(/([A-Z][a-z]?)(\d+(?:\.\d+)?)?/g)) {
    elementOf(symbol!);
    if (symbol! in percents || symbol === rest) {
      throw new InvalidPlanError(`"${text}" names ${symbol} twice; write each element once`);
    }
    if (number !== undefined) percents[symbol!] = Number(number);
    else if (rest === null) rest = symbol!;
    else throw new InvalidPlanError(`"${text}" leaves out two numbers; only one element can be the rest`);
  }
  return fromPercents(text, percents, rest);
}

function fromPercents(text: string, percents: Record<string, number>, rest: string | null): Composition {
  const sum = Object.values(percents).reduce((a, b) => a + b, 0);
  const all = rest === null ? percents : { [rest]: 100 - sum, ...percents };
  const total = rest === null ? sum : 100;
  if (Math.abs(total - 100) > SUM_TOLERANCE_PERCENT || (rest !== null && sum >= 100)) {
    throw new InvalidPlanError(
      `"${text}" adds up to ${Number(sum.toFixed(3))} %; make the mass per cents add up to 100`,
    );
  }
  const fractions: Record<string, number> = {};
  for (const [symbol, percent] of Object.entries(all)) {
    if (percent > 0) fractions[symbol] = percent / total;
  }
  return fractions;
}

/** Mass fraction of an element, 0 where the composition does not hold it. */
export function fractionOf(composition: Composition, symbol: string): number {
  return composition[symbol] ?? 0;
}

/** The element that makes up most of it: copper in a bronze. */
export function baseOf(composition: Composition): string {
  return Object.keys(composition).reduce((a, b) => (composition[b]! > composition[a]! ? b : a));
}

/** As chemists write it, per cents rounded to the second decimal: "Cu80Sn20". */
export function formatComposition(composition: Composition): string {
  return Object.entries(composition)
    .map(([symbol, fraction]) => `${symbol}${Number((fraction * 100).toFixed(2))}`)
    .join("");
}

/** Half the sum of the differences of the mass fractions: 0 for the same composition, 1 with nothing in common. */
export function compositionDistance(a: Composition, b: Composition): number {
  const symbols = new Set([...Object.keys(a), ...Object.keys(b)]);
  let sum = 0;
  for (const symbol of symbols) sum += Math.abs(fractionOf(a, symbol) - fractionOf(b, symbol));
  return sum / 2;
}
