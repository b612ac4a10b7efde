import { openDecoded } from "../../src/audio/index.ts";
import type { ModeFit } from "../../src/partials/index.ts";
import { examineRecording, fitStrike } from "../../src/tap/index.ts";
import { type Estimator, type FitReport, timed } from "./estimator.ts";

/** As a recording is measured: strikes found, every ring-down fitted; the estimates are those of the best strike. */
export const dampedLines: Estimator = {
  name: "damped lines",
  hasIntervals: true,
  fit(channels, sampleRateHz) {
    const stages: FitReport["stages"] = [];
    const recording = openDecoded({
      format: "WAV",
      lossy: false,
      sampleRateHz,
      bits: 16,
      channels,
      warnings: [],
    });
    const examined = timed(stages, "strikes", () => examineRecording("bell.wav", recording));
    const fits: ModeFit[] = [];
    timed(stages, "modes", () => {
      for (let i = 0; i < examined.strikes.length; i++) fits.push(fitStrike(recording, examined, i));
    });
    if (fits.length === 0) {
      return { estimates: [], referenceSample: 0, startSample: 0, stages, freeDecay: true };
    }
    return reportOf(fits[0], examined.strikes[0].strike.onsetSample, stages);
  },
};

/** Samples count from the start of the recording. */
export function reportOf(fit: ModeFit, onsetSample: number, stages: FitReport["stages"]): FitReport {
  return {
    estimates: fit.modes,
    referenceSample: onsetSample,
    startSample: fit.startSample,
    stages,
    freeDecay: fit.freeDecay,
  };
}
