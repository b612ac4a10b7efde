import { showEstimate } from "../measurement/index.ts";
import { defineFinding, notMeasurable } from "./finding.ts";
import { judgeLosses } from "./signs/loss.ts";
import { isMixture } from "./signs/two-bells.ts";
import { areDecaysWithheld, DECAYS_WITHHELD } from "./withheld.ts";
import { cell, countWords, partialCell } from "./words.ts";

/** Enough for a median that is not one of the extremes. */
const LEAST_PARTIALS = 3;

/** The loss of the casting as a whole; comparable with another casting, not with a table of alloys. */
export const damping = defineFinding({
  id: "damping",
  subject: "Damping",
  needs: ["partials"],
  uses: ["fit", "expectedPartials", "curves", "strikes"],
  assess({ partials, fit, expectedPartials, curves, strikes }) {
    const { judged, median } = judgeLosses(partials);
    if (median === null || judged.length < LEAST_PARTIALS) {
      if (areDecaysWithheld({ partials, curves, strikes, fit }))
        return notMeasurable("Damping", DECAYS_WITHHELD);
      return notMeasurable(
        "Damping",
        `The decay of ${countWords(judged.length, "partial")} is known well enough, and at least ${LEAST_PARTIALS} are needed. Record a longer ring in a quieter place.`,
      );
    }
    if (fit?.freeDecay === false) {
      return notMeasurable(
        "Damping",
        "The ring-down is not a sum of free decays, so how long each partial rings cannot be trusted. Follow the advice on the ring-down and record again.",
      );
    }
    if (isMixture(partials, expectedPartials ?? [])) {
      return notMeasurable(
        "Damping",
        "Two bells seem to sound, and a middle of both is neither's. Strike one bell only, and record again.",
      );
    }
    return {
      outcome: "note",
      title: "How much the casting loses",
      text: `The median loss factor of ${countWords(judged.length, "partial")} is ${showEstimate(median, "", "damping")} (the smaller, the longer it rings). Metal, wall, mounting and the sound sent out all have a share in it, so one recording says nothing about the alloy; two castings of one pattern, hung and struck alike, can be compared.`,
      evidence: [
        {
          kind: "table",
          label: "Loss of each partial",
          columns: ["partial", "frequency, Hz", "60 dB decay, s", "Q", "loss factor"],
          rows: partials.map((p) => [
            partialCell(p),
            cell(p.frequencyHz, "frequency"),
            cell(p.decayTimeS, "time"),
            cell(p.q, "damping"),
            cell(p.lossFactor, "damping"),
          ]),
        },
      ],
    };
  },
});
