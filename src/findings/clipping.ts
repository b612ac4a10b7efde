import { defineFinding } from "./finding.ts";
import { sentence, shareWords } from "./words.ts";

/** Whether the recorder was overloaded. */
export const clipping = defineFinding({
  id: "clipping",
  subject: "Clipping",
  needs: ["recordings"],
  uses: ["strikes"],
  assess({ recordings, strikes }) {
    const bad = recordings.filter((r) => r.clipped);
    if (bad.length === 0) {
      return {
        outcome: "good",
        title: "Not clipped",
        text: "The recorder was not overloaded: no stretch sticks to full scale.",
        evidence: [],
      };
    }
    const hit = (strikes ?? []).filter((s) => s.clipped).length;
    const where =
      hit === 0
        ? ""
        : ` ${sentence(shareWords(hit, strikes.length, "strike"))} ${hit === 1 ? "is" : "are"} clipped.`;
    return {
      outcome: "attention",
      title: "The recorder was overloaded",
      text: `${sentence(shareWords(bad.length, recordings.length, "recording"))} ${bad.length === 1 ? "sticks" : "stick"} to full scale.${where} Clipping adds partials that the bell does not have, and hides the level at the strike. Turn the input level down, turn automatic level off, move the recorder away or strike more softly, and record again.`,
      evidence: [
        {
          kind: "table",
          label: "Samples at full scale",
          columns: ["recording", "samples"],
          rows: recordings.map((r) => [r.file, r.clippedSamples]),
        },
      ],
    };
  },
});
