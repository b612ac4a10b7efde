import type { Estimate } from "../measurement/index.ts";
import { alloyFamilyOf } from "./alloy-sheets.ts";
import { type Composition, formatComposition } from "./composition.ts";
import data from "./data/contraction.json" with { type: "json" };
import { InvalidPlanError } from "./error.ts";
import { spanning } from "./estimate.ts";

export interface Contraction {
  /** Extra length of the pattern over the cold casting's length, as on a contraction rule: 0.015 is 1.5 %. */
  fraction: Estimate;
  source: string;
}

/**
 * Published contraction of an alloy's family: the middle of the sources and what reaches all of them.
 *
 * @param composition null takes a tin bronze
 * @throws InvalidPlanError where no source names the family (aluminium bronze, for one).
 */
export function publishedContraction(composition: Composition | null): Contraction {
  const family = composition === null ? "tin bronze" : alloyFamilyOf(composition);
  const entries = data.entries.filter((entry) => entry.family === family);
  if (composition !== null && entries.length === 0) {
    throw new InvalidPlanError(
      `no published contraction for ${formatComposition(composition)} at hand; measure a casting against its pattern and give --contraction, for example 1.5%`,
    );
  }
  const fractions = entries.map((entry) => entry.percent / 100);
  const taken = composition === null ? "no alloy was named, so a tin bronze is taken: " : "";
  return {
    fraction: spanning(Math.min(...fractions), Math.max(...fractions)),
    source:
      taken + entries.map((entry) => `${entry.asWritten} (${entry.source}, ${entry.status})`).join("; "),
  };
}

/**
 * Contraction seen on a casting: its pattern's length over its own, less one.
 *
 * @param patternM the pattern's length, as cut
 */
export function contractionFraction(patternM: number, castingM: Estimate): Estimate {
  const ratio = patternM / castingM.value;
  return { value: ratio - 1, ci95: (ratio * castingM.ci95) / castingM.value };
}
