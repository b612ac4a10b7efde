import { candidateLine, type Line } from "../../src/partials/line.ts";
import type { Mode } from "../../src/partials/mode.ts";

/** A line as a fit leaves it, one channel; |c| is half the amplitude. */
export function lineOf(values: Partial<Line> & { frequencyHz: number; alpha: number }): Line {
  const { frequencyHz, ...rest } = values;
  return {
    ...candidateLine(values.alpha, 2 * Math.PI * frequencyHz, 1),
    cRe: Float64Array.of(0.1),
    sdOmega: 0.01,
    sdAlpha: 0.01,
    sdLogAmplitude: 0.01,
    rho: 1e4,
    chi: 1,
    ...rest,
  };
}

/** A mode as it is labelled: well known, one channel. */
export function modeOf(
  values: Partial<Mode> & { frequencyHz: number; decayRatePerS: number; levelDb: number },
): Mode {
  const { levelDb, ...rest } = values;
  return {
    frequencySdHz: 0.003,
    decayRateSdPerS: 0.01,
    amplitude: Float64Array.of(10 ** (levelDb / 20)),
    logAmplitudeSd: 0.01,
    phaseRad: Float64Array.of(1.5),
    phaseSdRad: 0.01,
    rho: 1e4,
    chi: 1,
    seenIn: [],
    ...rest,
  };
}
