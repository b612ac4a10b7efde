import { cell, countWords, listWords } from "../words.ts";
import type { CompareRule } from "./rule.ts";

/** What one shows and the other does not. */
export const unpaired: CompareRule = {
  id: "unpaired",
  subject: "Unpaired partials",
  assess({ a, b, unpaired: alone, pairs }) {
    if (alone.length === 0) {
      return {
        outcome: "note",
        title: "Every partial has its counterpart",
        text: `All ${countWords(pairs.length, "partial")} of each are paired.`,
        evidence: [],
        clause: null,
      };
    }
    const count = (casting: "a" | "b") => alone.filter((each) => each.casting === casting).length;
    const counts = [
      [a.letter, count("a")],
      [b.letter, count("b")],
    ] as const;
    const words = counts.flatMap(([letter, n]) =>
      n === 0 ? [] : [`${countWords(n, "partial")} of ${letter}`],
    );
    return {
      outcome: "note",
      title: "Unpaired partials",
      text: `${listWords(words)} ${alone.length === 1 ? "has" : "have"} no counterpart. A strike on a nodal line leaves a partial out, and a weak one drowns in the noise of one recording; a partial that is missing in every recording of one casting is its own.`,
      evidence: [
        {
          kind: "table",
          label: "Partials without a counterpart",
          columns: ["casting", "partial", "frequency, Hz", "60 dB decay, s", "level, dB"],
          rows: alone.map((each) => [
            each.casting === "a" ? a.letter : b.letter,
            each.name ?? "unnamed",
            cell(each.frequencyHz, "frequency"),
            cell(each.decayTimeS, "time"),
            cell(each.levelDb, "level"),
          ]),
        },
      ],
      clause: null,
    };
  },
};
