import { type Estimate, type StrikeNoteCandidate, showEstimate } from "../measurement/index.ts";
import { defineFinding, notMeasurable } from "./finding.ts";
import { isMixture } from "./signs/two-bells.ts";
import { threshold } from "./thresholds.ts";
import { cell, listWords, offsetWords } from "./words.ts";

const centsBetween = (aHz: number, bHz: number) => Math.abs(1200 * Math.log2(aHz / bHz));

const pitchWords = (c: StrikeNoteCandidate) =>
  `${c.note} (${showEstimate(c.frequencyHz, "Hz")}, ${c.method})`;

/** The note that a listener is likely to name, how it was found, and what else they may name. */
export const pitch = defineFinding({
  id: "pitch",
  subject: "Strike note",
  needs: ["strikeNote"],
  uses: ["partials", "expectedPartials"],
  assess({ strikeNote, partials, expectedPartials }) {
    if (isMixture(partials, expectedPartials ?? [])) {
      return notMeasurable("Strike note", "Two bells seem to sound, and a mixture has no strike note.");
    }
    const heaviest = Math.max(...strikeNote.candidates.map((c) => c.weight));
    const apart = (a: { frequencyHz: Estimate }, b: { frequencyHz: Estimate }) =>
      centsBetween(a.frequencyHz.value, b.frequencyHz.value) > threshold("rivalPitchCents");
    const rivals = strikeNote.candidates
      .filter((c) => c.weight >= threshold("rivalPitchWeight") * heaviest && apart(c, strikeNote))
      // One pitch is named once, however many ways lead to it.
      .filter((c, i, all) => all.slice(0, i).every((earlier) => apart(c, earlier)));
    const clear = strikeNote.confidence >= threshold("pitchClear");
    const main = `The strike note is ${clear ? "clearly" : "probably"} ${strikeNote.note}, ${offsetWords(strikeNote.cents)}, at ${showEstimate(strikeNote.frequencyHz, "Hz")} (${strikeNote.method}).`;
    const others =
      rivals.length === 0 ? "" : ` A listener may also name ${listWords(rivals.map(pitchWords))}.`;
    const ear =
      " The interval is that of the frequency: listeners may hear the note up to half a semitone elsewhere.";
    const ask = clear ? "" : " Ask more than one listener before tuning to it.";
    return {
      outcome: "note",
      title: `Strike note ${strikeNote.note}`,
      text: main + others + ear + ask,
      evidence: [
        {
          kind: "table",
          label: "Pitches a listener may report, heaviest first",
          columns: ["frequency, Hz", "note", "cents from the note", "by"],
          rows: strikeNote.candidates.map((c) => [
            cell(c.frequencyHz, "frequency"),
            c.note,
            cell(c.cents, "cents"),
            c.method,
          ]),
        },
      ],
    };
  },
});
