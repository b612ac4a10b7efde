import { defineFinding } from "./finding.ts";

/** Whether the ring-down is what the method measures: a sum of free decays. */
export const freeDecay = defineFinding({
  id: "free-decay",
  subject: "Ring-down",
  needs: ["fit", "partials"],
  uses: [],
  assess({ fit }) {
    const chart = { kind: "chart", label: "The whole ring-down", chart: "ring-down", partial: null } as const;
    if (fit.freeDecay && fit.note !== null) {
      return {
        outcome: "note",
        title: "The ring settles to free decays",
        text: `${fit.note} If the recorder has an automatic level or noise reduction, turn it off: it changes decay times in a way that these intervals do not hold. For narrower intervals hang the bell so that it does not swing, keep the recorder still, and choose a place that does not echo.`,
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
