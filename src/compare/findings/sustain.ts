import { cell, listWords, ratioText } from "../words.ts";
import { type CompareRule, notMeasurable } from "./rule.ts";

/** How long the whole sounds last, one against the other. */
export const sustain: CompareRule = {
  id: "sustain",
  subject: "Sustain of the whole sound",
  assess({ a, b, whole, samePattern }) {
    const all = [
      ["60 dB decay", whole.t60Ratio],
      ["early decay (EDT)", whole.edtRatio],
      ["T20", whole.t20Ratio],
      ["T30", whole.t30Ratio],
      ["time until it meets the noise", whole.audibleRatio],
    ] as const;
    const known = all.flatMap(([name, value]) => (value === null ? [] : [{ name, value }]));
    if (known.length === 0) {
      return notMeasurable(
        "Sustain of the whole sound",
        "No decay of the whole sound was measured in both; record in a quieter place and let both ring out.",
      );
    }
    return {
      outcome: "note",
      title: "Sustain of the whole sound",
      text: `${b.letter} over ${a.letter}: ${listWords(known.map(({ name, value }) => `${name} ${ratioText(value)}`))}. These are those of one strike each, so a spread between strikes does not stand beside them; the time until the noise depends on the blow, the distance and the place as well.`,
      evidence: [
        {
          kind: "table",
          label: `Decay of the whole sound, ${b.letter} over ${a.letter} (ISO 3382)`,
          columns: ["decay", `${b.letter} over ${a.letter}`],
          rows: all.map(([name, value]) => [name, cell(value, "times")]),
        },
      ],
      clause:
        samePattern.outcome === "different" && whole.t60Ratio !== null
          ? `the whole sound of ${b.letter} takes ${ratioText(whole.t60Ratio)} times as long as that of ${a.letter} to fall by 60 dB`
          : null,
    };
  },
};
