import { listWords } from "../words.ts";
import type { CompareRule } from "./rule.ts";

/** Whether the two measurements can be set side by side at all. */
export const measurement: CompareRule = {
  id: "measurement",
  subject: "The measurements themselves",
  assess({ a, b, spoiled }) {
    const rough = [a, b].filter((casting) => !casting.freeDecay).map((casting) => casting.letter);
    const reasons = [
      ...(a.method === b.method
        ? []
        : [
            `They were made by different methods (${a.letter}: ${a.method}, ${b.letter}: ${b.method}), so small differences may be those of the methods; measure both recordings again.`,
          ]),
      ...(rough.length === 0
        ? []
        : [
            `The ring-down of ${listWords(rough)} is no sum of free decays, so frequencies and above all decays are rough; hang the bell freely, turn off the recorder's automatic level, and record again.`,
          ]),
      ...[
        { letter: a.letter, titles: spoiled.a },
        { letter: b.letter, titles: spoiled.b },
      ].flatMap(({ letter, titles }) =>
        titles.length === 0
          ? []
          : [
              `The measurement of ${letter} asks for attention (${titles.join("; ")}): see to that first (tap says how), and record again.`,
            ],
      ),
    ];
    if (reasons.length === 0) {
      return {
        outcome: "note",
        title: "Both were measured alike",
        text: "Both ring-downs are sums of free decays, measured by one method.",
        evidence: [],
        clause: null,
      };
    }
    return {
      outcome: "attention",
      title: "The measurements are not quite alike",
      text: reasons.join(" "),
      evidence: [],
      clause: rough.length === 0 ? null : `the decays of ${listWords(rough)} are rough`,
    };
  },
};
