import { CASTING_SPREAD } from "../../foundry/index.ts";
import { type Estimate, type Evidence, readable } from "../../measurement/index.ts";
import type { Pair } from "../comparison.ts";
import { threshold } from "../thresholds.ts";
import { cell, countWords, listWords, percentText, ratioText, sentence, timesAsLong } from "../words.ts";
import { groupRatio, ratioGroups, whichWords } from "./ratio-groups.ts";
import { beyondWords, type CompareRule, type Judged, notMeasurable } from "./rule.ts";
import { scatterEvidence, testTable, testWords } from "./test-words.ts";

function evidenceOf({ a, b, pairs, common }: Judged): Evidence[] {
  const { decayRatio, scatterDecay, decay } = common!;
  return [
    {
      kind: "number",
      label: `decay time, ${b.letter} over ${a.letter}, all pairs`,
      ...readable(decayRatio, "times"),
      unit: "",
    },
    ...scatterEvidence(100 * scatterDecay, pairs.length, "%"),
    testTable("Whether all pairs share one ratio", decay),
    {
      kind: "table",
      label: "60 dB decay time of each pair",
      columns: [
        "partial",
        `${a.letter}, s`,
        `${b.letter}, s`,
        `${b.letter} over ${a.letter}`,
        `Q, ${b.letter} over ${a.letter}`,
        "strike spread, %",
        "changed",
      ],
      rows: pairs.map((pair) => [
        pair.name,
        cell(pair.a.decayTimeS, "time"),
        cell(pair.b.decayTimeS, "time"),
        cell(pair.decayRatio, "times"),
        cell(pair.qRatio, "times"),
        pair.strikeSpreadDecay === null ? null : Number((100 * pair.strikeSpreadDecay).toPrecision(2)),
        pair.decayChanged ? "yes" : "no",
      ]),
    },
    { kind: "chart", label: "The ring-downs, one over the other", chart: "ring-down", partial: null },
  ];
}

const isHeard = ({ value }: Estimate): boolean =>
  Math.abs(Math.log(value)) >= Math.log1p(threshold("decayStep"));

/** "B rings 2.14 ± 0.03 times as long as A in its five lowest partials and 1.2 ± 0.1 times in its three highest partials". */
function setWords({ a, b, pairs }: Judged, set: readonly Pair[]): string {
  const [first, ...more] = ratioGroups(set);
  const rest = more.map((group) => `${groupRatio(group)} times in ${whichWords(group.pairs, pairs)}`);
  const lead = `${groupRatio(first)} times as long as ${a.letter} in ${whichWords(first.pairs, pairs)}`;
  return `${b.letter} rings ${listWords([lead, ...rest])}`;
}

const CASTINGS_DIFFER = ` Two castings of one pattern in one alloy may differ by about ${percentText(CASTING_SPREAD.decayRelative)} (common practice, no source), so cast a second of each before the alloy gets the credit.`;

/** Whether one rings longer, in which partials, and whether that is more than strikes differ. */
export const decay: CompareRule = {
  id: "decay",
  subject: "Change of the decay",
  assess(judged) {
    const { a, b, pairs, common } = judged;
    if (common === null)
      return notMeasurable("Change of the decay", "No partial of one was found in the other.");
    const evidence = evidenceOf(judged);
    if (judged.samePattern.outcome === "different") {
      const text =
        "Decays of different patterns cannot be set against each other partial by partial. The pairs are listed for a look; the sustain of the whole sounds can be compared.";
      return { ...notMeasurable("Change of the decay", text), evidence };
    }
    const { decayRatio, decay: test } = common;
    const longer = pairs.filter((pair) => pair.decayChanged && pair.decayRatio.value > 1);
    const shorter = pairs.filter((pair) => pair.decayChanged && pair.decayRatio.value < 1);
    if (test.kind === "common") {
      const all = `${b.letter} rings ${timesAsLong(decayRatio)} ${a.letter} in ${whichWords(pairs, pairs)} together`;
      const heard = isHeard(decayRatio) ? "" : ", less than is heard";
      return {
        outcome: "note",
        title: isHeard(decayRatio) ? "The decay changed throughout" : "The decay hardly changed",
        text: `${all}, ${beyondWords(judged)}${heard}; the pairs agree on one ratio (${testWords(test)}).${CASTINGS_DIFFER}`,
        evidence,
        clause: `${all}, ${beyondWords(judged)}${heard}`,
      };
    }
    if (longer.length + shorter.length > 0) {
      const sets = [longer, shorter].filter((set) => set.length > 0).map((set) => setWords(judged, set));
      const text = listWords(sets);
      return {
        outcome: "note",
        title: "The decay changed",
        text: `${sentence(text)}, ${beyondWords(judged)}. Over all pairs the ratio is ${ratioText(decayRatio)} (${testWords(test)}).${CASTINGS_DIFFER}`,
        evidence,
        clause: `${text}, ${beyondWords(judged)}`,
      };
    }
    if (test.kind === "none") {
      return {
        outcome: "note",
        title: "No change of the decay",
        text: `${b.letter} rings ${timesAsLong(decayRatio)} ${a.letter}, over ${countWords(pairs.length, "paired partial")} together: no more than chance makes, and no partial for itself differs (${testWords(test)}).`,
        evidence,
        clause: `the decay did not change (${b.letter} over ${a.letter}: ${ratioText(decayRatio)})`,
      };
    }
    const open = `the decay ratios of the pairs differ from each other, but none for itself by more than chance makes`;
    return {
      outcome: "note",
      title: "The decay changed unevenly",
      text: `${sentence(open)}: ${ratioText(decayRatio)} over all (${testWords(test)}). More strikes would tell which.`,
      evidence,
      clause: open,
    };
  },
};
