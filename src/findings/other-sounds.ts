import { type Evidence, type StrikeInfo, showEstimate } from "../measurement/index.ts";
import { defineFinding } from "./finding.ts";
import { countWords, listWords, sentence } from "./words.ts";

/** A recording sets in so early, and so softly (6 dB over its noise): a coder begins with its own silence. */
const SETS_IN_S = 0.1;
const SETS_IN_DB = 6;

const setsIn = (s: StrikeInfo): boolean => s.onsetS < SETS_IN_S && s.snrDb < SETS_IN_DB;

const evidenceOf = (strikes: StrikeInfo[]): Evidence[] =>
  strikes.map((s) => ({
    kind: "time" as const,
    label: `Left out: ${s.leftOut}`,
    fromS: s.onsetS,
    toS: s.endS,
    recording: s.recording,
  }));

/** Whether other sounds begin while the bell rings. */
export const otherSounds = defineFinding({
  id: "other-sounds",
  subject: "Other sounds",
  needs: ["strikes"],
  uses: ["fit", "recordings"],
  assess({ strikes, fit, recordings }) {
    const bells = strikes.filter((s) => (s.otherBellCents ?? null) !== null);
    if (bells.length > 0) {
      const said = bells.map((s) => {
        const cents = s.otherBellCents!;
        const file = (recordings?.length ?? 0) > 1 ? recordings![s.recording]?.file : undefined;
        const who = file ?? `the strike at ${s.onsetS.toFixed(1)} s`;
        return `${who} is another bell, ${Math.abs(cents).toFixed(0)} cents ${cents > 0 ? "higher" : "lower"}`;
      });
      const words = listWords([...new Set(said)]);
      return {
        outcome: "attention",
        title: (recordings?.length ?? 0) > 1 ? words : sentence(words),
        text: `${countWords(bells.length, "strike")} of another bell ${bells.length === 1 ? "was" : "were"} left out: the partials are alike but for that shift. What is measured is the bell of the other strikes. Give recordings of one casting only; measure the other bell by itself.`,
        evidence: evidenceOf(bells),
      };
    }
    const others = strikes.filter((s) => s.leftOut !== null && !setsIn(s));
    const over = fit?.otherSoundS ?? null;
    if (others.length === 0 && over !== null) {
      return {
        outcome: "note",
        title: "Something else sounds over the ring",
        text: `About ${showEstimate(over, "s")} after the strike something sets in between the partials: a voice, a step, a door, a car. What it adds to the partials is not told from them. Be silent from a second before the strike until the bell has rung out, and record again.`,
        evidence: [{ kind: "chart", label: "The whole ring-down", chart: "ring-down", partial: null }],
      };
    }
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
      evidence: evidenceOf(others),
    };
  },
});
