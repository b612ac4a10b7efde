import type { Casting, Pair } from "../../compare/index.ts";
import { estimateText } from "../numbers.ts";
import { castingName } from "./view.ts";

/** What of a pair changed by more than its errors explain, for a table. */
export function changedText({ frequencyChanged, decayChanged }: Pair): string {
  const what = [...(frequencyChanged ? ["pitch"] : []), ...(decayChanged ? ["decay"] : [])];
  return what.length === 0 ? "nothing" : what.join(", ");
}

/** Alloy, mass, diameter and strikes of a casting, as far as known. */
export function factsText({ alloy, massKg, diameterM, strikes }: Casting): string {
  return [
    ...(alloy === null ? [] : [alloy]),
    ...(massKg === null ? [] : [estimateText(massKg, "other", "kg")]),
    ...(diameterM === null
      ? []
      : [
          `mouth ${estimateText({ value: 1000 * diameterM.value, ci95: 1000 * diameterM.ci95 }, "other", "mm")}`,
        ]),
    `${strikes} ${strikes === 1 ? "strike" : "strikes"}`,
  ].join(", ");
}

/** "A (10 % tin) and B (20 % tin)". */
export function titleOf(castings: readonly Casting[], reference: number): string {
  const others = castings.filter((_, i) => i !== reference).map(castingName);
  return [castingName(castings[reference]), ...others].join(" \u2013 ");
}
