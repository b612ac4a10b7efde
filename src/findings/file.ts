import { defineFinding } from "./finding.ts";

/** How the readers of recordings say that sound is missing. */
const BROKEN = /\b(?:cut short|damaged)\b/;

/** What the reader had to forgive in the file. */
export const file = defineFinding({
  id: "file",
  subject: "File",
  needs: ["recordings"],
  uses: [],
  assess({ recordings }) {
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
    return {
      outcome: "note",
      title: "The file is not quite in order",
      text: "Something in the file had to be forgiven; what could be read was measured. Copy it from the recorder again if the ring seems cut off.",
      evidence: [{ kind: "table", label: "What was forgiven", columns: ["recording", "what"], rows }],
    };
  },
});
