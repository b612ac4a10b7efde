import { showEstimate } from "../../measurement/index.ts";
import type { Pair, PairSide, UnpairedPartial } from "../comparison.ts";
import { threshold } from "../thresholds.ts";
import { cell, countWords, listWords } from "../words.ts";
import { type CompareRule, notMeasurable } from "./rule.ts";

const splitWords = ({ splitHz }: PairSide): string =>
  splitHz === null ? "one line" : showEstimate(splitHz, "Hz");

/** A warble that came, went, or beats at another rate. */
function isChanged({ splitDifferenceHz: d, a, b }: Pair): boolean {
  const widest = Math.max(a.splitHz?.value ?? 0, b.splitHz?.value ?? 0);
  return (
    d !== null &&
    Math.abs(d.value) > Math.max(d.ci95, threshold("splitLeast")) &&
    widest <= threshold("beatFastest")
  );
}

/** Whether what looks like a single line has its other member among the unpaired partials. */
function hasLoneMember(pair: Pair, unpaired: readonly UnpairedPartial[]): boolean {
  const reach = 2 * Math.max(pair.a.splitHz?.value ?? 0, pair.b.splitHz?.value ?? 0);
  return unpaired.some(
    ({ casting, frequencyHz }) => Math.abs(frequencyHz.value - pair[casting].frequencyHz.value) <= reach,
  );
}

/** Which warbles changed. */
export const splits: CompareRule = {
  id: "splits",
  subject: "Splits",
  assess({ a, b, pairs, unpaired, samePattern }) {
    if (samePattern.outcome === "different") {
      return notMeasurable("Splits", "Splits of different patterns cannot be set against each other.");
    }
    if (pairs.length === 0) return notMeasurable("Splits", "No partial of one was found in the other.");
    if (!a.freeDecay || !b.freeDecay) {
      const rough = a.freeDecay ? b.letter : a.letter;
      return notMeasurable(
        "Splits",
        `The ring-down of ${rough} is no sum of free decays, so its splits are not sure.`,
      );
    }
    const changed = pairs.filter((pair) => isChanged(pair) && !hasLoneMember(pair, unpaired));
    const split = pairs.filter(({ splitDifferenceHz }) => splitDifferenceHz !== null);
    const words = changed.map(
      (pair) => `the ${pair.name} (${a.letter}: ${splitWords(pair.a)}, ${b.letter}: ${splitWords(pair.b)})`,
    );
    return {
      outcome: "note",
      title:
        changed.length > 0
          ? "Warbles changed"
          : split.length > 0
            ? "No sure change of the splits"
            : "No splits",
      text:
        changed.length > 0
          ? `The split changed in ${listWords(words)}. A casting sets its own splits, by how round and even it came out, so this is the casting's, not the alloy's, doing.`
          : split.length > 0
            ? `${countWords(split.length, "pair")} split in one or both, and none surely beats at another rate in one than in the other.`
            : "No paired partial was seen split in either.",
      evidence:
        split.length === 0
          ? []
          : [
              {
                kind: "table",
                label: "Split of each pair",
                columns: [
                  "partial",
                  `${a.letter}, Hz`,
                  `${b.letter}, Hz`,
                  `${b.letter} less ${a.letter}, Hz`,
                ],
                rows: split.map((pair) => [
                  pair.name,
                  cell(pair.a.splitHz, "frequency") ?? "one line",
                  cell(pair.b.splitHz, "frequency") ?? "one line",
                  cell(pair.splitDifferenceHz, "frequency"),
                ]),
              },
            ],
      clause: null,
    };
  },
};
