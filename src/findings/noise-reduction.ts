import { showEstimate } from "../measurement/index.ts";
import { defineFinding } from "./finding.ts";

/** Whether the recorder turns down what does not stand out of the noise. */
export const noiseReduction = defineFinding({
  id: "noise-reduction",
  subject: "Noise reduction",
  needs: ["fit", "partials"],
  uses: [],
  assess({ fit }) {
    if (!fit.noisePassedDb) {
      return {
        outcome: "good",
        title: "No noise reduction seen",
        text: "The noise beside the partials is not seen to come and go with them.",
        evidence: [],
      };
    }
    return {
      outcome: "attention",
      title: "The recorder reduces noise",
      text: `Beside partials that sound the noise is ${showEstimate(fit.noisePassedDb, "dB")} louder than in the quiet, and it vanishes with them: the recorder turns down what does not stand out of the noise. Each partial is measured only for as long as it stands far out; weak ones and the first tenth of a second are lost. Turn noise reduction, noise suppression and voice enhancement off, or use a recorder where that can be done, and record again.`,
      evidence: [{ kind: "chart", label: "The whole ring-down", chart: "ring-down", partial: null }],
    };
  },
});
