import { defineFinding } from "./finding.ts";
import { shareWords } from "./words.ts";

/** Whether a hand stopped the bell. */
export const handDamping = defineFinding({
  id: "hand-damping",
  subject: "Hand on the bell",
  needs: ["strikes"],
  uses: [],
  assess({ strikes }) {
    const damped = strikes.flatMap((s, i) => (s.endedBy === "hand damping" ? [{ s, i }] : []));
    if (damped.length === 0) {
      return {
        outcome: "good",
        title: "No hand on the bell",
        text: "No ring breaks off as it does under a hand.",
        evidence: [],
      };
    }
    return {
      outcome: damped.length === strikes.length ? "attention" : "note",
      title: "A hand stopped the bell",
      text: `The ring of ${shareWords(damped.length, strikes.length, "strike")} breaks off as it does under a hand; only what comes before was used. Let the bell ring out by itself before you touch it or stop the recorder.`,
      evidence: damped.map(({ s, i }) => ({
        kind: "time" as const,
        label: `Strike ${i + 1}: free until the hand`,
        fromS: s.fitStartS,
        toS: s.endS,
        recording: s.recording,
      })),
    };
  },
});
