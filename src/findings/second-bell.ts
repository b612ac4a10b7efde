import { showEstimate } from "../measurement/index.ts";
import { defineFinding } from "./finding.ts";
import { isAsLoud, twoRows } from "./signs/two-bells.ts";
import { threshold } from "./thresholds.ts";
import { cell, countWords } from "./words.ts";

const ADVICE =
  "Move other bells out of earshot or hold them still, strike one only, and record again; give recordings of one casting only.";

/** Whether more than one bell is heard. */
export const secondBell = defineFinding({
  id: "second-bell",
  subject: "One bell",
  needs: ["partials"],
  uses: ["expectedPartials", "strikes"],
  assess({ partials, expectedPartials, strikes }) {
    const rows = twoRows(partials, expectedPartials ?? []);
    if (rows !== null) {
      const lowest = rows.map((row) => {
        const first = row.partials.reduce((a, b) =>
          partials[a]!.frequencyHz.value < partials[b]!.frequencyHz.value ? a : b,
        );
        return showEstimate(partials[first]!.frequencyHz, "Hz");
      });
      const asLoud = isAsLoud(partials, rows);
      const worth = asLoud
        ? "Names, strike note and deviations of such a mixture mean nothing."
        : "Names, strike note and deviations are those of the louder one.";
      return {
        outcome: asLoud ? "attention" : "note",
        title: asLoud ? "Two bells seem to sound" : "A quieter bell rings along",
        text: `The partials fall into two rows that each look like a bell of the profile, from ${lowest[0]} and from ${lowest[1]} on. ${worth} ${ADVICE}`,
        evidence: [
          {
            kind: "table",
            label: "Two rows of partials",
            columns: ["row", "frequency, Hz"],
            rows: rows.flatMap((row, k) =>
              row.partials.map((i) => [k + 1, cell(partials[i]!.frequencyHz, "frequency")]),
            ),
          },
        ],
      };
    }
    const used = (strikes ?? []).filter((s) => s.leftOut === null).length;
    const strong = partials.filter((p) => p.levelDb.value >= threshold("prominentLevel"));
    const alone = strong.filter((p) => p.strikeSpreadHz === null);
    if (used > 1 && alone.length > threshold("aloneShare") * strong.length) {
      return {
        outcome: "attention",
        title: "The strikes do not sound like one bell",
        text: `${countWords(alone.length, "strong partial")} of ${strong.length} ${alone.length === 1 ? "is" : "are"} heard in one of ${used} strikes only. Two bells do that; so does one that is still ringing when the next is struck, or is struck at very different places. ${ADVICE}`,
        evidence: [],
      };
    }
    return {
      outcome: "good",
      title: "No second bell found",
      text: "The partials do not fall into two rows, and the strikes, where there are several, share theirs.",
      evidence: [],
    };
  },
});
