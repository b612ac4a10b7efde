import { defineFinding } from "./finding.ts";
import { heldLevel } from "./signs/held-level.ts";
import { countWords } from "./words.ts";

/** Whether the recorder's gain moved while the bell rang. */
export const gainControl = defineFinding({
  id: "gain-control",
  subject: "Gain of the recorder",
  needs: ["partials", "curves", "strikes"],
  uses: ["fit"],
  assess({ partials, curves, strikes, fit }) {
    const held = heldLevel({ partials, curves, strikes, fit });
    if (held === null) {
      return {
        outcome: "good",
        title: "No gain seen to move",
        text: "No three partials rise and fall together beside their own decays. An automatic level that keeps pace with the ring for as long as it is recorded would not be seen.",
        evidence: [],
      };
    }
    return {
      outcome: "attention",
      title: "The recorder held the level",
      text: `${countWords(held.together, "partial")} of ${held.asked} that can be followed rise and fall together beside their own decays, dB by dB: a gain that moves does that to all alike; a bell or a recorder that moves, seldom. Frequencies hold; the decay times are the recorder's as much as the bell's, so they are withheld (their intervals are as wide as themselves), and nothing is judged by them. Weak lines beside the strong ones can be the gain's own. Turn automatic level, limiter and noise reduction off, or use a recorder where that can be done, let bell and recorder be at rest, and record again.`,
      evidence: [{ kind: "chart", label: "The whole ring-down", chart: "ring-down", partial: null }],
    };
  },
});
