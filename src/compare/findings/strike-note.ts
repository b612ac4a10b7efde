import { centsText, shiftWords } from "../words.ts";
import { type CompareRule, notMeasurable } from "./rule.ts";

/** The pitch a listener names, one against the other. */
export const strikeNote: CompareRule = {
  id: "strike-note",
  subject: "Strike note",
  assess({ a, b, whole: { strikeNoteCents: cents, strikeNoteSameMethod } }) {
    if (cents === null) {
      return notMeasurable("Strike note", "One of the two has no strike note that could be told.");
    }
    const apart = Math.abs(cents.value) > cents.ci95;
    const method = strikeNoteSameMethod
      ? ""
      : " The two were told by different methods (see each measurement), so the difference may be one of method, up to an octave.";
    return {
      outcome: "note",
      title: apart ? "The strike note differs" : "The strike note is the same",
      text: `${apart ? `${b.letter} sounds ${shiftWords(cents)} than ${a.letter}` : `${b.letter} sounds ${centsText(cents)} from ${a.letter}`}.${method}`,
      evidence: [
        { kind: "number", label: `strike note, ${b.letter} from ${a.letter}`, ...cents, unit: "cents" },
      ],
      clause: null,
    };
  },
};
