import type { TapPartial } from "../measurement/index.ts";
import { defineFinding, notMeasurable } from "./finding.ts";
import { threshold } from "./thresholds.ts";
import { areDecaysWithheld, DECAYS_WITHHELD } from "./withheld.ts";
import { partialWords, scaled, sureName } from "./words.ts";

/** Without what lies below the lowest surely named partial: a rumble or a fan is not the bell's, however loud. */
function ofTheBell(partials: readonly TapPartial[]): readonly TapPartial[] {
  const named = partials.filter((p) => sureName(p) !== null).map((p) => p.frequencyHz.value);
  return named.length === 0 ? partials : partials.filter((p) => p.frequencyHz.value >= Math.min(...named));
}

/** Whether the ring was followed for long enough. */
export const length = defineFinding({
  id: "length",
  subject: "Length",
  needs: ["partials", "strikes"],
  uses: ["curves", "fit"],
  assess({ partials, strikes, curves, fit }) {
    const strongest = ofTheBell(partials).reduce((best, p) =>
      p.levelDb.value > best.levelDb.value ? p : best,
    );
    const longest = strikes.reduce((best, s) => (s.usedS > best.usedS ? s : best));
    const { decayTimeS } = strongest;
    const fallenDb = (60 * longest.usedS) / decayTimeS.value;
    const stretch = {
      kind: "time" as const,
      label: "Longest ring used",
      fromS: longest.fitStartS,
      toS: longest.endS,
      recording: longest.recording,
    };
    if (fallenDb >= threshold("decayT30")) {
      return {
        outcome: "good",
        title: "Long enough for the strongest partial",
        text: `The longest ring follows ${partialWords(strongest)}, the strongest, over at least ${threshold("decayT30")} dB of its decay.`,
        evidence: [stretch],
      };
    }
    if (longest.endedBy === "noise floor") {
      return {
        outcome: "note",
        title: "The ring ends in the noise",
        text: `The longest ring meets the noise before ${partialWords(strongest)}, the strongest, has fallen by ${threshold("decayT30")} dB. A longer recording would not help; a quieter place would.`,
        evidence: [stretch],
      };
    }
    if (areDecaysWithheld({ partials, curves, strikes, fit })) {
      return notMeasurable("Length", DECAYS_WITHHELD, [stretch]);
    }
    const short = fallenDb < threshold("decayT20");
    const wanted = scaled(decayTimeS, threshold("decayT30") / 60);
    return {
      outcome: short ? "attention" : "note",
      title: short ? "Too short" : "Rather short",
      text: `The longest ring follows ${partialWords(strongest)}, the strongest, over less than ${threshold(short ? "decayT20" : "decayT30")} dB of its decay (it ends with: ${longest.endedBy}). Let it ring untouched for ${Math.ceil(wanted.value + wanted.ci95)} s or more after the strike, and strike again only then.`,
      evidence: [stretch],
    };
  },
});
