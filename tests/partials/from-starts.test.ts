import { describe, expect, it } from "vitest";
import { fitModes } from "../../src/partials/index.ts";
import { type BellKind, boundOf, makeBell, ringOf, scoreBell } from "../support/synthetic/index.ts";

/** Invented lines of a bell, and how many of its modes were found. */
function outcomeOf(kind: BellKind, seed: number) {
  const { channels, truth } = makeBell(kind, seed);
  const fit = fitModes(ringOf(channels, truth.sampleRateHz, truth));
  const score = scoreBell(truth, boundOf(truth, fit.startSample), fit.modes);
  return { fit, score };
}

describe("fromStarts", () => {
  it("fromStarts(a gain control that lets go after a second) lists one product of the partials at the most, and misses one line at the most", {
    timeout: 60_000,
  }, () => {
    // Eight products, 44 to 77 dB down, are stable from start to start in this one.
    const { fit, score } = outcomeOf("gain control", 5);
    expect(fit.departs).toBe(true);
    // The product at 551 Hz lies 44 dB under the strongest.
    expect(score.invented.length).toBeLessThanOrEqual(1);
    // 829 Hz, 36 dB under the strongest, lies among the products.
    expect(score.missed.length).toBeLessThanOrEqual(1);
    // Where the ring has settled the values are those of free decays.
    const apart = score.matched.filter((mode) => mode.gapLinewidths >= 1);
    expect(apart.length).toBeGreaterThan(5);
    for (const mode of apart) expect(Math.abs(mode.frequencyErrorLinewidths)).toBeLessThan(0.03);
  });

  it("fromStarts(a room) resolves what only its silence shows", { timeout: 60_000 }, () => {
    // 2,026.66 Hz lies 1.3 linewidths from a neighbour 30 dB under the strongest: from 30 ms on the room's answer hides it.
    const { fit, score } = outcomeOf("room", 2);
    expect(fit.departs).toBe(true);
    expect(score.invented).toEqual([]);
    expect(fit.modes.some((m) => Math.abs(m.frequencyHz - 2026.66) < 0.05)).toBe(true);
  });
});
