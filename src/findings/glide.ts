import { showEstimate } from "../measurement/index.ts";
import { defineFinding, notMeasurable } from "./finding.ts";
import { threshold } from "./thresholds.ts";

/** Cents of a relative change in percent, interval with it. */
function percentToCents(value: number, ci95: number) {
  const relative = 1 + value / 100;
  return { value: 1200 * Math.log2(relative), ci95: (1200 / Math.LN2) * (ci95 / 100 / relative) };
}

/** Whether the pitch moves after the blow. */
export const glide = defineFinding({
  id: "glide",
  subject: "Glide",
  needs: ["fit", "partials"],
  uses: [],
  assess({ fit }) {
    if (!fit.freeDecay && fit.glidePercent === null) {
      return notMeasurable(
        "Glide",
        "The ring-down is not a sum of free decays, so a glide cannot be told from it.",
      );
    }
    if (fit.glidePercent === null) {
      return {
        outcome: "good",
        title: "The pitch holds still",
        text: "No change of frequency after the blow stands out from its own uncertainty.",
        evidence: [],
      };
    }
    const cents = percentToCents(fit.glidePercent.value, fit.glidePercent.ci95);
    const heard = Math.abs(cents.value) - cents.ci95 > threshold("pitchStep");
    const direction = cents.value < 0 ? "falls" : "rises";
    const amount = showEstimate({ value: Math.abs(cents.value), ci95: cents.ci95 }, "cents");
    return {
      outcome: heard ? "attention" : "note",
      title: `The pitch ${direction} after the blow`,
      text: `After the blow the pitch ${direction} by ${amount} until it settles. A bell that swings, a recorder that moves, or a hard blow does this, and it widens every interval. Hang the bell so that it cannot swing, put the recorder on a stand, strike lighter, and measure again.`,
      evidence: [
        {
          kind: "number",
          label: "Change of frequency after the blow",
          value: fit.glidePercent.value,
          ci95: fit.glidePercent.ci95,
          unit: "%",
        },
      ],
    };
  },
});
