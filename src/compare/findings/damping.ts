import { type Estimate, readable } from "../../measurement/index.ts";
import type { Pair } from "../comparison.ts";
import { studentQuantile } from "../distributions.ts";
import { exponential, ratio, scaled, sdOfLog } from "../estimate.ts";
import { cell, countWords, ratioText } from "../words.ts";
import { type CompareRule, notMeasurable } from "./rule.ts";

/** A line through fewer points than this says nothing of its slope. */
const LEAST_PAIRS = 4;

interface Trend {
  /** Factor on the ratio of the loss factors for one octave up. */
  perOctave: Estimate;
  rises: boolean;
  falls: boolean;
}

/**
 * Straight line of the logarithm of B's loss factor over A's against the octave, by ordinary least squares. The slope's
 * interval comes from what is left, or from the pairs' own intervals where these are wider.
 *
 * @returns null with fewer than four pairs or all at one frequency
 */
export function lossTrend(pairs: readonly Pair[]): Trend | null {
  if (pairs.length < LEAST_PAIRS) return null;
  const x = pairs.map((pair) => Math.log2(pair.a.frequencyHz.value));
  // Loss factor = 1 / Q.
  const y = pairs.map((pair) => -Math.log(pair.qRatio.value));
  const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;
  const meanX = mean(x);
  const meanY = mean(y);
  const spread = x.reduce((sum, each) => sum + (each - meanX) ** 2, 0);
  if (spread === 0) return null;
  const slope = x.reduce((sum, each, i) => sum + (each - meanX) * (y[i] - meanY), 0) / spread;
  const rest = x.reduce((sum, each, i) => sum + (y[i] - meanY - slope * (each - meanX)) ** 2, 0);
  const degrees = pairs.length - 2;
  const own = mean(pairs.map((pair) => sdOfLog(pair.qRatio) ** 2));
  const ci95 = studentQuantile(0.05, degrees) * Math.sqrt(Math.max(rest / degrees, own) / spread);
  return { perOctave: exponential({ value: slope, ci95 }), rises: slope > ci95, falls: slope < -ci95 };
}

const FRICTION =
  "Friction in the metal adds about the same loss factor to every partial; what goes out as sound and into the mounting has a share that changes with frequency (Cremer & Heckl, Structure-Borne Sound, from memory).";

/** Loss factor against frequency for both: friction and radiation go differently with frequency. */
export const damping: CompareRule = {
  id: "damping",
  subject: "Loss factor against frequency",
  assess({ a, b, pairs, common, samePattern }) {
    const trend = common === null ? null : lossTrend(pairs);
    if (common === null || trend === null) {
      return notMeasurable(
        "Loss factor against frequency",
        `At least ${LEAST_PAIRS} paired partials at different frequencies are needed.`,
      );
    }
    if (samePattern.outcome === "different") {
      return notMeasurable(
        "Loss factor against frequency",
        "Metals can be compared by it in castings of one pattern only.",
      );
    }
    const { value, ci95 } = common.decayRatio;
    const inverse = { value: 1 / (value * common.frequencyRatio.value), ci95: 0 };
    const lossRatio = scaled({ value: 1, ci95: ci95 / value }, inverse.value);
    const per = `by ${ratioText(trend.perOctave)} for an octave`;
    const course =
      trend.rises || trend.falls
        ? `The ratio ${trend.rises ? "rises" : "falls"} with frequency, ${per}, so the metal's friction alone does not explain it.`
        : `The ratio does not change with frequency beyond its interval (${per}).`;
    const changed = common.decay.kind === "none" ? "" : ` ${FRICTION}`;
    return {
      outcome: "note",
      title: "Loss factor against frequency",
      text: `Over ${countWords(pairs.length, "pair")} the loss factor (1/Q) of ${b.letter} is ${ratioText(lossRatio)} of that of ${a.letter}. ${course}${changed}`,
      evidence: [
        {
          kind: "number",
          label: `loss factor, ${b.letter} over ${a.letter}`,
          ...readable(lossRatio, "times"),
          unit: "",
        },
        {
          kind: "number",
          label: "factor on it for an octave up",
          ...readable(trend.perOctave, "times"),
          unit: "",
        },
        {
          kind: "table",
          label: "Loss factor of each pair",
          columns: ["partial", a.letter, b.letter, `${b.letter} over ${a.letter}`],
          rows: pairs.map((pair) => [
            pair.name,
            cell(pair.a.lossFactor, "damping"),
            cell(pair.b.lossFactor, "damping"),
            cell(ratio(pair.b.lossFactor, pair.a.lossFactor), "times"),
          ]),
        },
      ],
      clause: null,
    };
  },
};
