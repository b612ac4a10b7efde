import { fitModes, type ModeFit, type RingDown } from "../../src/partials/index.ts";
import { findAllStrikes } from "../../src/tap/strikes.ts";
import { type Estimator, type FitReport, timed } from "./estimator.ts";

/** As a recording is measured: strikes found, every ring-down fitted; the estimates are those of the best strike. */
export const dampedLines: Estimator = {
  name: "damped lines",
  hasIntervals: true,
  fit(channels, sampleRateHz) {
    const stages: FitReport["stages"] = [];
    const recording = {
      format: "WAV",
      lossy: false,
      sampleRateHz,
      bits: 16,
      channels,
      warnings: [],
    };
    const { strikes } = timed(stages, "strikes", () => findAllStrikes([{ file: "bell.wav", recording }]));
    const fits = timed(stages, "modes", () => strikes.map(({ ring }) => fitModes(ring)));
    if (fits.length === 0) {
      return { estimates: [], referenceSample: 0, startSample: 0, stages, freeDecay: true };
    }
    return reportOf(fits[0], strikes[0].ring, stages);
  },
};

export function reportOf(fit: ModeFit, ring: RingDown, stages: FitReport["stages"]): FitReport {
  return {
    estimates: fit.modes,
    referenceSample: ring.onsetSample,
    startSample: fit.startSample,
    stages,
    freeDecay: fit.freeDecay,
  };
}
