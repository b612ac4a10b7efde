import { CASTING_SPREAD } from "../../foundry/index.ts";
import type { Estimate, Evidence } from "../../measurement/index.ts";
import type { Pair } from "../comparison.ts";
import { exponential, sdOfLog } from "../estimate.ts";
import { sharedChange } from "../shared-change.ts";
import { threshold } from "../thresholds.ts";
import {
  cell,
  countWords,
  digits,
  listWords,
  numberWord,
  percentText,
  probabilityWords,
  ratioText,
  sentence,
  timesAsLong,
} from "../words.ts";
import { beyondWords, type CompareRule, type Judged, notMeasurable } from "./rule.ts";

/** More names than this read worse than their number. */
const MOST_NAMES = 4;

/** "all 8 paired partials", "its five lowest partials", "the hum and the tierce", "six of its 9 partials". */
function whichWords(set: readonly Pair[], pairs: readonly Pair[]): string {
  if (set.length === pairs.length) return `all ${pairs.length} paired partials`;
  if (set.length > 1 && set.every((pair) => pairs.indexOf(pair) < set.length)) {
    return `its ${numberWord(set.length)} lowest partials`;
  }
  if (set.length <= MOST_NAMES) return listWords(set.map((pair) => `the ${pair.name}`));
  return `${numberWord(set.length)} of its ${pairs.length} paired partials`;
}

/** One ratio for several pairs, with an interval that holds their scatter. */
function ratioOf(set: readonly Pair[]): Estimate {
  const changes = set.map(({ decayRatio }) => {
    const sd = sdOfLog(decayRatio);
    return { value: Math.log(decayRatio.value), sd, degrees: Number.POSITIVE_INFINITY, strikeSd: null };
  });
  return exponential(sharedChange(changes, false).mean);
}

function evidenceOf({ a, b, pairs, common }: Judged): Evidence[] {
  const { decayRatio, scatterDecay, decay } = common!;
  return [
    { kind: "number", label: `decay time, ${b.letter} over ${a.letter}, all pairs`, ...decayRatio, unit: "" },
    { kind: "number", label: "scatter about it", value: digits(100 * scatterDecay), ci95: null, unit: "%" },
    { kind: "number", label: "test statistic X²", value: digits(decay.statistic), ci95: null, unit: "" },
    { kind: "number", label: "degrees of freedom", value: decay.degreesOfFreedom, ci95: null, unit: "" },
    {
      kind: "number",
      label: "probability of it where all share one ratio",
      value: digits(decay.pValue),
      ci95: null,
      unit: "",
    },
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
        cell(pair.a.decayTimeS),
        cell(pair.b.decayTimeS),
        cell(pair.decayRatio),
        cell(pair.qRatio),
        pair.strikeSpreadDecay === null ? null : Number((100 * pair.strikeSpreadDecay).toPrecision(2)),
        pair.decayChanged ? "yes" : "no",
      ]),
    },
    { kind: "chart", label: "The ring-downs, one over the other", chart: "ring-down", partial: null },
  ];
}

const isHeard = ({ value }: Estimate): boolean =>
  Math.abs(Math.log(value)) >= Math.log1p(threshold("decayStep"));

/** What is said of partials that changed, B's sustain against A's. */
function setWords(judged: Judged, set: readonly Pair[]): string {
  const { a, b, pairs } = judged;
  return `${b.letter} rings ${timesAsLong(ratioOf(set))} ${a.letter} in ${whichWords(set, pairs)}`;
}

const testWords = ({ common }: Judged): string =>
  `X² = ${common!.decay.statistic.toPrecision(3)} on ${common!.decay.degreesOfFreedom} degrees of freedom, ${probabilityWords(common!.decay.pValue)}`;

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
        text: `${all}, ${beyondWords(judged)}${heard}; the pairs agree on one ratio (${testWords(judged)}).${CASTINGS_DIFFER}`,
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
        text: `${sentence(text)}, ${beyondWords(judged)}. Over all pairs the ratio is ${ratioText(decayRatio)} (${testWords(judged)}).${CASTINGS_DIFFER}`,
        evidence,
        clause: `${text}, ${beyondWords(judged)}`,
      };
    }
    if (test.kind === "none") {
      return {
        outcome: "note",
        title: "No change of the decay",
        text: `${b.letter} rings ${timesAsLong(decayRatio)} ${a.letter}, over ${countWords(pairs.length, "paired partial")} together: no more than chance makes, and no partial for itself differs (${testWords(judged)}).`,
        evidence,
        clause: `the decay did not change (${b.letter} over ${a.letter}: ${ratioText(decayRatio)})`,
      };
    }
    const open = `the decay ratios of the pairs differ from each other, but none for itself by more than chance makes`;
    return {
      outcome: "note",
      title: "The decay changed unevenly",
      text: `${sentence(open)}: ${ratioText(decayRatio)} over all (${testWords(judged)}). More strikes would tell which.`,
      evidence,
      clause: open,
    };
  },
};
