import { describe, expect, it } from "vitest";
import { renderBell, whiteNoise } from "../support/synthetic/index.ts";
import { ordinaryMethod } from "./baseline.ts";
import { runTrial } from "./evaluate.ts";

const plan = {
  sampleRateHz: 8000,
  durationS: 3,
  quietS: 0.1,
  modes: [
    [440, 3, 0.4],
    [1234.5, 5, 0.3],
  ].map(([frequencyHz, decayRatePerS, amplitude]) => ({
    frequencyHz,
    decayRatePerS,
    amplitude: Float64Array.of(amplitude),
    phaseRad: Float64Array.of(-1.5),
  })),
  noise: [whiteNoise(1e-4)],
  tones: [],
  artefacts: {},
  peak: null,
};

describe("ordinaryMethod", () => {
  it("ordinaryMethod.fit(two clean, far partials) finds both, to a twentieth of a linewidth and 5 % in decay", () => {
    // A clean, well separated partial is what the method is made for: a weak baseline would flatter what stands beside it.
    const bell = renderBell(plan, 1);
    const { score, truth } = runTrial(ordinaryMethod, bell);
    expect(score.matched.map((match) => match.mode)).toEqual([0, 1]);
    expect(score.invented).toEqual([]);
    for (const match of score.matched) {
      expect(Math.abs(match.frequencyErrorLinewidths)).toBeLessThan(0.05);
      expect(Math.abs(match.decayErrorRelative)).toBeLessThan(0.05);
    }
    expect(truth.onsetSample).toBe(800);
  });

  it("ordinaryMethod.fit(a pair split by half a linewidth) finds one of the two", () => {
    const [mode] = plan.modes;
    const pair = [mode, { ...mode, frequencyHz: mode.frequencyHz + 0.5 }];
    const { score } = runTrial(ordinaryMethod, renderBell({ ...plan, modes: pair }, 1));
    expect(score.seeableCount).toBe(2);
    expect(score.matched.length).toBe(1);
    expect(score.missed.length).toBe(1);
  });
});
