import type { Evidence, RecordingInfo, StrikeInfo } from "../measurement/index.ts";
import { defineFinding } from "./finding.ts";
import { heldLevel } from "./signs/held-level.ts";
import { threshold } from "./thresholds.ts";
import { countWords, listWords, sentence, shareWords } from "./words.ts";

/** Whether two contacts may be one that the file smears. */
const smears = (r: RecordingInfo | undefined) =>
  r !== undefined && (r.lossy || r.sampleRateHz < threshold("lowRate"));

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
  uses: ["recordings", "partials", "curves", "fit"],
  assess({ strikes, recordings, partials, curves, fit }) {
    // What was left out is another sound as likely as a strike.
    const used = strikes.filter((s) => s.leftOut === null);
    const rattling = used.filter((s) => s.rattle);
    // The bursts of a rattle look like contacts of the rod.
    const double = used.filter((s) => bounced(s) && !s.rattle);
    if (double.length === 0 && rattling.length === 0) {
      return {
        outcome: "good",
        title: "One touch of the rod a strike",
        text: `${countWords(used.length, "strike")}, each with one contact and no rattle.`,
        evidence: [],
      };
    }
    // A coder and a steep filter ring before and after a blow by themselves.
    const smeared = double.every((s) => smears(recordings?.[s.recording]));
    // A gain that sets in with the blow jumps within some milliseconds, as the sound does at a contact.
    const held = double.length > 0 && !smeared && heldLevel({ partials, curves, strikes, fit }) !== null;
    const found = [
      ...(rattling.length > 0
        ? [`something rattles in ${shareWords(rattling.length, used.length, "strike")}`]
        : []),
      ...(double.length > 0
        ? [
            `the rod touched more than once in ${shareWords(double.length, used.length, "strike")}, or a wall close by answered it`,
          ]
        : []),
    ];
    const advice = [
      ...(rattling.length > 0
        ? [
            "Look for a loose part, a stone in the mouth or the rod lying against the rim; a buzz that stays with every strike can also be the two faces of a crack. A voice or steps over the ring can sound so too.",
          ]
        : []),
      ...(double.length > 0
        ? [
            ...(smeared
              ? [
                  "Lossy coding and a low sample rate smear a clean blow so that it looks like two; record WAV or FLAC at the recorder's usual rate to be sure.",
                ]
              : []),
            ...(held
              ? [
                  "The recorder's gain moved, and where it sets in it looks like a contact; turn it off first.",
                ]
              : []),
            "Hold the rod loosely at its far end and draw it back at once; the measurement begins after the last contact, so fast partials are lost.",
          ]
        : []),
    ];
    const clean = used.some((s) => !bounced(s) && !s.rattle);
    return {
      outcome: clean || (rattling.length === 0 && (smeared || held)) ? "note" : "attention",
      title:
        rattling.length > 0
          ? "Something rattles"
          : smeared
            ? "The rod bounced, or the file smears the blow"
            : held
              ? "The rod bounced, or the gain set in"
              : "The rod seems to have bounced",
      text: `${sentence(listWords(found))}. ${advice.join(" ")}`,
      evidence: strikes.flatMap((s, i) =>
        s.leftOut === null && (bounced(s) || s.rattle) ? [stretch(s, i)] : [],
      ),
    };
  },
});
