import { defineFinding } from "./finding.ts";
import { shareWords } from "./words.ts";

/** Whether the recording itself was turned down while the bell rang. */
export const cutOff = defineFinding({
  id: "cut-off",
  subject: "End of the ring",
  needs: ["strikes"],
  uses: [],
  assess({ strikes }) {
    const used = strikes.filter((s) => s.leftOut === null);
    const cut = used.filter((s) => s.endedBy === "cut off");
    if (cut.length === 0) {
      return {
        outcome: "good",
        title: "The recording follows the ring",
        text: "The noise stays where it is while the bell rings: nothing turned the recording down.",
        evidence: [],
      };
    }
    return {
      outcome: cut.length === used.length ? "attention" : "note",
      title: "The recorder turned the ring down",
      text: `In ${shareWords(cut.length, used.length, "strike")} ring and noise vanish together, as where a noise gate closes, noise reduction sets in, or an editor cuts or fades; only what comes before was used, also where the sound comes back. Turn noise gate and noise reduction off, do not trim the file, and record again.`,
      evidence: cut.map((s) => ({
        kind: "time" as const,
        label: `Strike ${strikes.indexOf(s) + 1}: whole until it is turned down`,
        fromS: s.fitStartS,
        toS: s.endS,
        recording: s.recording,
      })),
    };
  },
});
