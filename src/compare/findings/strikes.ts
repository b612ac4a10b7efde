import type { Casting } from "../comparison.ts";
import { countWords, listWords } from "../words.ts";
import type { CompareRule } from "./rule.ts";

const counted = (casting: Casting): string => `${countWords(casting.strikes, "strike")} of ${casting.letter}`;

/** Whether strikes were repeated, without which no change can be held against their spread. */
export const strikes: CompareRule = {
  id: "strikes",
  subject: "Repeated strikes",
  assess({ a, b, pairs, samePattern }) {
    const single = [a, b].filter((casting) => casting.strikes < 2);
    const unknown = single.length > 0 || pairs.some((pair) => pair.beyondStrikeSpread === null);
    const evidence = [
      {
        kind: "table" as const,
        label: "Strikes used",
        columns: ["casting", "strikes", "recordings"],
        rows: [a, b].map((casting) => [casting.letter, casting.strikes, casting.recordings.join(", ")]),
      },
    ];
    if (!unknown) {
      return {
        outcome: "note",
        title: "Strikes were repeated",
        text: `${counted(a)} and ${counted(b)} were used, so changes are held against the spread between strikes.`,
        evidence,
        clause: null,
      };
    }
    const which =
      single.length > 0
        ? `only ${listWords(single.map((casting) => `one strike of ${casting.letter}`))} ${single.length > 1 ? "were" : "was"} used`
        : "no spread between strikes was measured";
    return {
      outcome: "attention",
      title: "No spread between strikes to compare with",
      text: `Because ${which}, whether a change is more than two strikes of the same bell differ is not known: changes are held against the intervals of the fits alone. Record two or more strikes of each, three are better, each let to ring out, at one marked place with the same rod.`,
      evidence,
      clause:
        samePattern.outcome === "different"
          ? null
          : single.length > 0
            ? `with ${listWords(single.map((casting) => `one strike of ${casting.letter}`))} nothing here can be set against the spread between strikes`
            : "nothing here can be set against the spread between strikes",
    };
  },
};
