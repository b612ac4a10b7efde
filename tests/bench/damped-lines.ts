import { openDecoded } from "../../src/audio/index.ts";
import { fitModes, type ModeFit, type RingDown } from "../../src/partials/index.ts";
import { examineRecording, strikeAudio } from "../../src/tap/index.ts";
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
    let bestRing: RingDown | null = null;
    timed(stages, "modes", () => {
      for (let i = 0; i < examined.strikes.length; i++) {
        const { ring } = strikeAudio(recording, examined, i);
        fits.push(fitModes(ring));
        if (i === 0) bestRing = ring;
      }
    });
    if (bestRing === null) {
      return { estimates: [], referenceSample: 0, startSample: 0, stages, freeDecay: true };
    }
    return reportOf(fits[0], bestRing, stages);
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
