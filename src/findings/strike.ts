import type { Evidence, StrikeInfo } from "../measurement/index.ts";
import { defineFinding } from "./finding.ts";
import { countWords, listWords, sentence, shareWords } from "./words.ts";

const bounced = (s: StrikeInfo) => s.contactsS.length > 1;

function stretch(s: StrikeInfo, index: number): Evidence {
  const contacts = bounced(s) ? `${s.contactsS.length} contacts` : "one contact";
  return {
    kind: "time",
    label: `Strike ${index + 1}: ${contacts}${s.rattle ? ", rattle" : ""}`,
    fromS: s.onsetS,
    toS: s.fitStartS,
    recording: s.recording,
  };
}

/** Bounces, double hits and rattle of the rod. */
export const strike = defineFinding({
  id: "strike",
  subject: "Strike",
  needs: ["strikes"],
  uses: [],
  assess({ strikes }) {
    const double = strikes.filter(bounced);
    const rattling = strikes.filter((s) => s.rattle);
    if (double.length === 0 && rattling.length === 0) {
      return {
        outcome: "good",
        title: "Clean strikes",
        text: `${countWords(strikes.length, "strike")}, each with one contact and no rattle.`,
        evidence: [],
      };
    }
    const found = [
      ...(double.length > 0
        ? [
            `the rod touched more than once in ${shareWords(double.length, strikes.length, "strike")}, or a wall close by answered it`,
          ]
        : []),
      ...(rattling.length > 0
        ? [`something rattles in ${shareWords(rattling.length, strikes.length, "strike")}`]
        : []),
    ];
    const advice = [
      ...(double.length > 0
        ? [
            "Hold the rod loosely at its far end and draw it back at once; the measurement begins after the last contact, so fast partials are lost.",
          ]
        : []),
      ...(rattling.length > 0
        ? [
            "Look for a loose part, a stone in the mouth or the rod lying against the rim; a buzz that stays with every strike can also be the two faces of a crack.",
          ]
        : []),
    ];
    const clean = strikes.some((s) => !bounced(s) && !s.rattle && s.leftOut === null);
    return {
      outcome: clean ? "note" : "attention",
      title: double.length > 0 ? "The rod seems to have bounced" : "Something rattles",
      text: `${sentence(listWords(found))}. ${advice.join(" ")}`,
      evidence: strikes.flatMap((s, i) => (bounced(s) || s.rattle ? [stretch(s, i)] : [])),
    };
  },
});
