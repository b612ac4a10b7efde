import { makeBell } from "../support/synthetic/index.ts";
import type { Estimator } from "./estimator.ts";
import { runTrial } from "./evaluate.ts";
import { decimals, markdownTable } from "./markdown.ts";

/**
 * Two channels fitted jointly beside the better one alone (the one in which the mode is stronger over its noise), on
 * the modes that both have: root mean square error over the bound of the joint record.
 */
export function stereoTable(estimator: Estimator, bells: number): string {
  const joint: number[] = [];
  const alone: number[] = [];
  for (let seed = 0; seed < bells; seed++) {
    const bell = makeBell("stereo", seed);
    const both = runTrial(estimator, bell);
    const singles = bell.channels.map((channel, c) => {
      const modes = bell.truth.modes.map((mode) => ({
        ...mode,
        amplitude: mode.amplitude.slice(c, c + 1),
        phaseRad: mode.phaseRad.slice(c, c + 1),
      }));
      const noiseVariance = (frequencyHz: number) => bell.truth.noiseVariance(frequencyHz, c);
      const truth = { ...bell.truth, modes, noiseVariance };
      return runTrial(estimator, { ...bell, channels: [channel], truth });
    });
    for (const match of both.score.matched) {
      if (!match.seeable) continue;
      const better =
        singles[0].boundAtStart.modes[match.mode].rho > singles[1].boundAtStart.modes[match.mode].rho ? 0 : 1;
      const other = singles[better].score.matched.find((m) => m.mode === match.mode);
      if (other === undefined) continue;
      const bound = both.boundAtStart.modes[match.mode].frequencySdHz;
      const ownBound = singles[better].boundAtStart.modes[match.mode].frequencySdHz;
      joint.push(match.frequencyErrorOverBound);
      alone.push((other.frequencyErrorOverBound * ownBound) / bound);
    }
  }
  const rms = (values: number[]) => Math.sqrt(values.reduce((sum, v) => sum + v * v, 0) / values.length);
  const rows = [
    ["both channels jointly", `${joint.length}`, decimals(rms(joint), 3)],
    ["the better channel alone", `${alone.length}`, decimals(rms(alone), 3)],
  ];
  return markdownTable(["fit", "modes", "f error over the joint bound"], rows);
}
