import { defineFinding } from "./finding.ts";
import { listWords } from "./words.ts";

/** Whether the recording was stored with loss. */
export const coding = defineFinding({
  id: "coding",
  subject: "Coding",
  needs: ["recordings"],
  uses: [],
  assess({ recordings }) {
    const lossy = recordings.filter((r) => r.lossy);
    if (lossy.length === 0) {
      return {
        outcome: "good",
        title: "Stored without loss",
        text: "The file is stored without loss; whether its sound was coded with loss before, as by a messenger, cannot be seen.",
        evidence: [],
      };
    }
    const formats = listWords([...new Set(lossy.map((r) => r.format))]);
    return {
      outcome: "note",
      title: "Stored with loss",
      text: `Lossy coding (${formats}) removes weak partials and smears the strike, so a partial that is not listed may still be there. Set the recorder to WAV or FLAC and record again where that matters.`,
      evidence: [
        {
          kind: "table",
          label: "Coding of the recordings",
          columns: ["recording", "format"],
          rows: recordings.map((r) => [r.file, `${r.format}, ${r.lossy ? "with loss" : "without loss"}`]),
        },
      ],
    };
  },
});
