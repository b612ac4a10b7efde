import type { StrikeInfo } from "../measurement/index.ts";
import { defineFinding } from "./finding.ts";
import { countWords } from "./words.ts";

/** A recording sets in so early, and so softly (6 dB over its noise): a coder begins with its own silence. */
const SETS_IN_S = 0.1;
const SETS_IN_DB = 6;

const setsIn = (s: StrikeInfo): boolean => s.onsetS < SETS_IN_S && s.snrDb < SETS_IN_DB;

/** Whether other sounds begin while the bell rings. */
export const otherSounds = defineFinding({
  id: "other-sounds",
  subject: "Other sounds",
  needs: ["strikes"],
  uses: [],
  assess({ strikes }) {
    const others = strikes.filter((s) => s.leftOut !== null && !setsIn(s));
    if (others.length === 0) {
      return {
        outcome: "good",
        title: "Nothing but the strikes",
        text: "No other sound sets in suddenly in the recording.",
        evidence: [],
      };
    }
    return {
      outcome: "note",
      title: "Something else sounds, or strikes were left out",
      text: `${countWords(others.length, "sound")} that set in suddenly ${others.length === 1 ? "was" : "were"} left out: strikes too soft, too short or unlike the others, or no strikes at all, as a voice, a step, a door, or a noise gate that opens again. A ring ends for the measurement where the next sound begins. Be silent from a second before the strike until the bell has rung out.`,
      evidence: others.map((s) => ({
        kind: "time" as const,
        label: `Left out: ${s.leftOut}`,
        fromS: s.onsetS,
        toS: s.endS,
        recording: s.recording,
      })),
    };
  },
});
