import { defineFinding } from "./finding.ts";
import { sentence, shareWords } from "./words.ts";

/** How the readers of recordings say that sound is missing. */
const BROKEN = /\b(?:cut short|damaged)\b/;

/** What the reader had to forgive in the file. */
export const file = defineFinding({
  id: "file",
  subject: "File",
  needs: ["recordings"],
  uses: ["strikes"],
  assess({ recordings, strikes }) {
    const rows = recordings.flatMap((r) => r.warnings.map((warning) => [r.file, warning]));
    if (rows.length === 0) {
      return {
        outcome: "good",
        title: "The file is whole",
        text: "The file was read without a complaint.",
        evidence: [],
      };
    }
    if (rows.some(([, warning]) => BROKEN.test(warning!))) {
      return {
        outcome: "attention",
        title: "The file is not whole",
        text: "A part of the recording is missing from the file; what was there is measured, so a ring may end too soon and its decay be less sure. Copy it from the recorder again.",
        evidence: [{ kind: "table", label: "What is missing", columns: ["recording", "what"], rows }],
      };
    }
    const empty = recordings.filter((_, i) => (strikes ?? []).every((s) => s.recording !== i)).length;
    if (empty > 0) {
      return {
        outcome: "note",
        title: empty === 1 ? "One recording gave no strike" : `${empty} recordings gave no strike`,
        text: `${sentence(shareWords(empty, recordings.length, "recording"))} ${empty === 1 ? "holds" : "hold"} no strike that could be used, for the reason in the table; the values rest on the others. Record that strike again, or leave the file out.`,
        evidence: [
          { kind: "table", label: "What was said of the recordings", columns: ["recording", "what"], rows },
        ],
      };
    }
    return {
      outcome: "note",
      title: "The file is not quite in order",
      text: "Something in the file had to be forgiven; what could be read was measured. Copy it from the recorder again if the ring seems cut off.",
      evidence: [{ kind: "table", label: "What was forgiven", columns: ["recording", "what"], rows }],
    };
  },
});
