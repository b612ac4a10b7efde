import type { CompareRule } from "./rule.ts";

const TITLES = {
  same: "One pattern, as far as the partials tell",
  different: "Not castings of the same pattern",
  unclear: "Whether of one pattern is open",
};

/** Whether the two can be castings of one pattern; everything said of metal and shape rests on it. */
export const pattern: CompareRule = {
  id: "pattern",
  subject: "One pattern",
  assess({ samePattern: { outcome, text, evidence }, a, b }) {
    const clauses = {
      same: null,
      different: `${a.letter} and ${b.letter} are not castings of the same pattern`,
      unclear: `whether ${a.letter} and ${b.letter} are of one pattern is open`,
    };
    const outcomes = { same: "good", different: "attention", unclear: "note" } as const;
    return {
      outcome: outcomes[outcome],
      title: TITLES[outcome],
      text,
      evidence,
      clause: clauses[outcome],
    };
  },
};
