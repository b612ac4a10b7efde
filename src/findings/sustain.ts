import { type Estimate, showEstimate } from "../measurement/index.ts";
import { defineFinding, notMeasurable } from "./finding.ts";
import { areDecaysWithheld, DECAYS_WITHHELD } from "./withheld.ts";
import { cell, listWords } from "./words.ts";

/** How long the whole sound lasts. */
export const sustain = defineFinding({
  id: "sustain",
  subject: "Sustain",
  needs: ["sustain"],
  uses: ["partials", "curves", "strikes", "fit"],
  assess({ sustain: { audibleS, edtS, t20S, t30S, t60S }, partials, curves, strikes, fit }) {
    const measured: [string, Estimate | null][] = [
      ["60 dB decay", t60S],
      ["early decay (EDT)", edtS],
      ["T20", t20S],
      ["T30", t30S],
      ["until it meets the noise", audibleS],
    ];
    const rows = measured.map(([name, value]) => [name, cell(value, "time")]);
    const clauses = [
      ...(audibleS === null
        ? []
        : [`is heard for ${showEstimate(audibleS, "s")} until it meets the noise of this recording`]),
      ...(t60S === null ? [] : [`falls by 60 dB in ${showEstimate(t60S, "s")}`]),
      ...(edtS === null ? [] : [`would take ${showEstimate(edtS, "s")} at the rate of its first 10 dB`]),
    ];
    if (clauses.length === 0) {
      if (areDecaysWithheld({ partials, curves, strikes, fit }))
        return notMeasurable("Sustain", DECAYS_WITHHELD);
      return notMeasurable(
        "Sustain",
        "The record does not reach far enough over the noise to say how long the sound lasts. Record in a quieter place and let the bell ring out.",
      );
    }
    const early =
      edtS !== null && t60S !== null && edtS.value + edtS.ci95 < t60S.value - t60S.ci95
        ? " The early decay is the faster one: the high partials go first and leave the low ones."
        : "";
    return {
      outcome: "note",
      title: "How long it rings",
      text: `The whole sound ${listWords(clauses)}.${early}`,
      evidence: [
        { kind: "table", label: "Decay of the whole sound (ISO 3382)", columns: ["decay", "seconds"], rows },
        { kind: "chart", label: "The whole ring-down", chart: "ring-down", partial: null },
      ],
    };
  },
});
