import { defineFinding } from "./finding.ts";
import { sharedBend } from "./signs/held-level.ts";
import { threshold } from "./thresholds.ts";
import { countWords } from "./words.ts";

/** Whether the recorder's gain moved while the bell rang. */
export const gainControl = defineFinding({
  id: "gain-control",
  subject: "Gain of the recorder",
  needs: ["partials", "curves"],
  uses: ["fit"],
  assess({ partials, curves, fit }) {
    const bend = sharedBend(
      partials,
      curves.ringDowns,
      fit?.glidePercent ?? null,
      fit?.startAfterContactS ?? 0,
    );
    if (bend === null) {
      return {
        outcome: "good",
        title: "No gain seen to move",
        text: "No bend that all partials share stands in the ring-down. An automatic level that keeps pace with the ring for as long as it is recorded would not be seen.",
        evidence: [],
      };
    }
    return {
      outcome: "attention",
      title: "The recorder held the level",
      text: `${countWords(bend.shared, "partial")} of ${bend.seen} bend together, by more than ${threshold("bendLeast")} dB, about ${bend.timeS.toFixed(1)} s after the strike: a free decay bends in no partial, and only a gain that moves bends all alike. Frequencies hold; the decay times are the recorder's as much as the bell's, so they are withheld (their intervals are as wide as themselves), and nothing is judged by them. Turn automatic level, limiter and noise reduction off, or use a recorder where that can be done, and record again.`,
      evidence: [{ kind: "chart", label: "The whole ring-down", chart: "ring-down", partial: null }],
    };
  },
});
