import type { StrikeInfo, TapPartial } from "../measurement/index.ts";
import { defineFinding } from "./finding.ts";
import { shareWords } from "./words.ts";

/** Whether any partial still stands over the noise at the end of the ring: a hand can stop only what sounds. */
function stillRings(partials: readonly TapPartial[], { usedS, snrDb }: StrikeInfo): boolean {
  return (
    partials.length === 0 ||
    partials.some(({ levelDb, decayTimeS: { value, ci95 } }) => {
      return levelDb.value - (60 * usedS) / (value + ci95) > -snrDb;
    })
  );
}

/** Whether a hand stopped the bell. */
export const handDamping = defineFinding({
  id: "hand-damping",
  subject: "Hand on the bell",
  needs: ["strikes"],
  uses: ["partials"],
  assess({ strikes, partials }) {
    const used = strikes.filter((s) => s.leftOut === null).length;
    const damped = strikes.flatMap((s, i) =>
      s.endedBy === "hand damping" && s.leftOut === null && stillRings(partials, s) ? [{ s, i }] : [],
    );
    if (damped.length === 0) {
      return {
        outcome: "good",
        title: "No hand stopped the bell",
        text: "No ring breaks off as it does under a hand.",
        evidence: [],
      };
    }
    return {
      outcome: damped.length === used ? "attention" : "note",
      title: "A hand stopped the bell",
      text: `The ring of ${shareWords(damped.length, used, "strike")} breaks off as it does under a hand; only what comes before was used. Let the bell ring out by itself before you touch it or stop the recorder.`,
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
