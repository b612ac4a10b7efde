import { version } from "../../package.json";
import { spoilingFindings } from "../findings/index.ts";
import type { TapMeasurement } from "../measurement/index.ts";
import { comparePairs } from "./compare-pairs.ts";
import type { Casting, CastingFacts, Clause, Comparison, ComparisonOfTwo } from "./comparison.ts";
import { REGISTER } from "./findings/register.ts";
import { runRules } from "./findings/rule.ts";
import { materialOf } from "./material.ts";
import { samePattern } from "./same-pattern.ts";
import { usedStrikes } from "./strike-spread.ts";
import { compareWhole } from "./whole-sound.ts";
import { sentence } from "./words.ts";

/** A measured casting with what the user knows of it. */
export interface CastingToCompare extends CastingFacts {
  measurement: TapMeasurement;
}

const FIRST_LETTER = "A".charCodeAt(0);
/** Letters of the alphabet: more castings than that belong into a series. */
export const MOST_CASTINGS = 26;

function castingOf(input: CastingToCompare, letter: string): Casting {
  const { measurement, label, alloy, massKg, diameterM } = input;
  return {
    letter,
    label,
    alloy,
    massKg,
    diameterM,
    recordings: measurement.recordings.map(({ file }) => file),
    strikes: usedStrikes(measurement),
    method: measurement.tool.method,
    freeDecay: measurement.fit.freeDecay,
  };
}

function resultOf(clauses: Clause[]): ComparisonOfTwo["result"] {
  return { text: `${sentence(clauses.map(({ text }) => text).join("; "))}.`, clauses };
}

/**
 * Castings side by side: each against the reference, B relative to A throughout.
 *
 * @param inputs two or more, at most 26; each with its measurement
 * @param reference index of the casting that the others are held against
 * @param scenario what was invented, where the castings are not real
 * @throws RangeError when there are fewer than two castings, too many, or no such reference
 */
export function compareCastings(
  inputs: readonly CastingToCompare[],
  reference = 0,
  scenario: string | null = null,
): Comparison {
  if (inputs.length < 2 || inputs.length > MOST_CASTINGS) {
    throw new RangeError(`${inputs.length} castings cannot be compared; 2 to ${MOST_CASTINGS} can`);
  }
  if (!Number.isInteger(reference) || inputs[reference] === undefined) {
    throw new RangeError(`reference ${reference} is none of the ${inputs.length} castings`);
  }
  const others = inputs.map((_, i) => i).filter((i) => i !== reference);
  const order = [reference, ...others];
  const castings = inputs.map((input, i) =>
    castingOf(input, String.fromCharCode(FIRST_LETTER + order.indexOf(i))),
  );
  const compareTwo = (b: number): ComparisonOfTwo => {
    const [from, to] = [reference, b].map((i) => ({
      casting: castings[i],
      measurement: inputs[i].measurement,
    }));
    const { pairs, unpaired, common } = comparePairs(from.measurement, to.measurement);
    const two = {
      samePattern: samePattern(from, to, pairs, common),
      pairs,
      unpaired,
      common,
      whole: compareWhole(from.measurement, to.measurement),
      material: materialOf(from.casting, to.casting, common),
    };
    const [ofA, ofB] = [from, to].map(({ measurement }) =>
      spoilingFindings(measurement.findings).map(({ title }) => title),
    );
    const spoiled = { a: ofA, b: ofB };
    const { findings, clauses } = runRules(REGISTER, { ...two, a: from.casting, b: to.casting, spoiled });
    return { a: reference, b, result: resultOf(clauses), ...two, findings };
  };
  const [first, ...more] = others.map(compareTwo);
  return {
    schema: "ringwright.compare/1",
    tool: { name: "ringwright", version },
    scenario,
    castings,
    ...first,
    more,
  };
}
