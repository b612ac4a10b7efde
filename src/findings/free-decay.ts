import { GLIDE_TAKEN_OFF } from "../measurement/index.ts";
import { defineFinding } from "./finding.ts";
import { heldLevel } from "./signs/held-level.ts";
import { threshold } from "./thresholds.ts";
import { listWords, partialWords } from "./words.ts";

/** Whether the ring-down is what the method measures: a sum of free decays. */
export const freeDecay = defineFinding({
  id: "free-decay",
  subject: "Ring-down",
  needs: ["fit", "partials"],
  uses: ["curves", "strikes"],
  assess({ fit, partials, curves, strikes }) {
    const chart = { kind: "chart", label: "The whole ring-down", chart: "ring-down", partial: null } as const;
    if (fit.freeDecay && fit.note?.includes(GLIDE_TAKEN_OFF)) {
      // The glide finding says what causes it and what to do; a moving gain would not explain it.
      return {
        outcome: "note",
        title: "Free decays, with the glide taken off",
        text: `${fit.note} What to do about the glide stands with its own finding.`,
        evidence: [chart],
      };
    }
    const gainMoved = () => curves !== null && heldLevel({ partials, curves, strikes, fit }) !== null;
    if (fit.freeDecay && fit.note !== null && gainMoved()) {
      return {
        outcome: "note",
        title: "The moving gain disturbs the start of the ring",
        text: `${fit.note} Here the recorder's gain moved; what to do about it stands with its own finding.`,
        evidence: [chart],
      };
    }
    if (fit.freeDecay && fit.note !== null) {
      const lost = partials.filter(
        ({ levelDb, decayTimeS: { value, ci95 } }) =>
          levelDb.value >= threshold("prominentLevel") && ci95 > threshold("lossCi95") * value,
      );
      if (lost.length === 0) {
        return {
          outcome: "note",
          title: "Free decays but for the start of the ring",
          text: `${fit.note} The decay time of every strong partial is known nonetheless.`,
          evidence: [chart],
        };
      }
      return {
        outcome: "note",
        title: "The start of the ring is disturbed: record again",
        text: `${fit.note} The decay time of ${listWords(lost.map(partialWords))} is not known for it. Turn off the recorder's automatic level and noise reduction: they change decay times in a way that these intervals do not hold. Hang the bell so that it does not swing, keep the recorder still, choose a place that does not echo, and record again.`,
        evidence: [chart],
      };
    }
    if (fit.freeDecay) {
      return {
        outcome: "good",
        title: "The ring is a sum of free decays",
        text: "The ring-down is a sum of free decays, as the method assumes.",
        evidence: [chart],
      };
    }
    return {
      outcome: "attention",
      title: "The ring-down is not a free decay",
      text: `${fit.note ?? "The ring-down is not a sum of free decays."} The partials listed are visible peaks with wide intervals, and their decays are rough. Hang the bell so that it neither swings nor touches anything, keep the recorder still, turn off its automatic level, limiter and noise reduction, choose a place that does not echo, and record again.`,
      evidence: [chart],
    };
  },
});
