import { fitModes } from "../../src/partials/index.ts";
import { ringOf } from "../support/synthetic/index.ts";
import { dampedLines, reportOf } from "./damped-lines.ts";
import { type Estimator, type FitReport, timed } from "./estimator.ts";

/** The fit alone, told when the rod touched: what is lost beside it is lost by the search for strikes. */
export const knownStrike: Estimator = {
  name: "known strike",
  hasIntervals: true,
  fit(channels, sampleRateHz, strike) {
    if (strike === undefined) return dampedLines.fit(channels, sampleRateHz);
    const stages: FitReport["stages"] = [];
    const ring = ringOf(channels, sampleRateHz, strike);
    return reportOf(
      timed(stages, "modes", () => fitModes(ring)),
      ring.onsetSample,
      stages,
    );
  },
};
