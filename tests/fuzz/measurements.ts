import type { TapMeasurement } from "../../src/measurement/index.ts";
import { crackedBell, emptyMeasurement, noisyRecording, soundBell } from "../support/sample-measurement.ts";

/** Invented measurements with short curves, so that thousands of copies are cheap. */
function short(measurement: TapMeasurement): TapMeasurement {
  const { spectrum, ringDowns } = measurement.curves;
  const few = (list: number[]) => list.slice(0, 12);
  return {
    ...measurement,
    curves: {
      spectrum: {
        frequencyHz: few(spectrum.frequencyHz),
        levelDb: few(spectrum.levelDb),
        noiseDb: few(spectrum.noiseDb),
      },
      ringDowns: ringDowns.map((curve) => ({
        ...curve,
        timeS: few(curve.timeS),
        levelDb: few(curve.levelDb),
        modelDb: few(curve.modelDb),
      })),
    },
  };
}

export const MEASUREMENTS: readonly TapMeasurement[] = [
  soundBell(),
  crackedBell(),
  noisyRecording(),
  emptyMeasurement(),
].map(short);
