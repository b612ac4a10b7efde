import { showEstimate } from "../../measurement/index.ts";
import { type CompareRule, notMeasurable } from "./rule.ts";

const CAVEAT =
  "Recorder gain, distance and blow have their full share in it. It compares the castings only with one recorder at one gain and distance and with equal blows (the same rod dropped from the same height); otherwise rely on decays, and on levels relative to the strongest partial, which neither gain nor the force of the blow changes.";

/** The level at the microphone, which is more than the casting's doing. */
export const loudness: CompareRule = {
  id: "loudness",
  subject: "Loudness at the microphone",
  assess({ a, b, whole: { peakDifferenceDb } }) {
    if (peakDifferenceDb === null) {
      return notMeasurable(
        "Loudness at the microphone",
        `It takes two strikes of each to know how far blows differ. ${CAVEAT}`,
      );
    }
    const { value, ci95 } = peakDifferenceDb;
    const apart = Math.abs(value) > ci95;
    const size = showEstimate({ value: Math.abs(value), ci95 }, "dB");
    return {
      outcome: "note",
      title: apart ? "The levels at the microphone differ" : "No sure difference of level at the microphone",
      text: `The peaks of ${b.letter}'s strikes lie ${size} ${value < 0 ? "below" : "above"} those of ${a.letter}, ${apart ? "more" : "no more"} than its blows differ among themselves. ${CAVEAT}`,
      evidence: [
        {
          kind: "number",
          label: `mean peak level, ${b.letter} less ${a.letter}`,
          ...peakDifferenceDb,
          unit: "dB",
        },
      ],
      clause: null,
    };
  },
};
