import { describe, expect, it } from "vitest";
import type { Line } from "../../src/partials/line.ts";
import { stableOverStarts, type Tier } from "../../src/partials/tracks.ts";
import { lineOf } from "./lines.ts";

const RECORD_S = 6;
const DELAYS_S = [0.03, 0.1, 0.2, 0.4, 0.8];

/** A line as searches from later starts see it: the amplitude falls as its decay rate says. */
function seenAt(delayS: number, frequencyHz: number, alpha: number, change: Partial<Line> = {}): Line {
  return lineOf({ frequencyHz, alpha, cRe: Float64Array.of(0.1 * Math.exp(-alpha * delayS)), ...change });
}

const tiersOf = (linesAt: (delayS: number, start: number) => Line[]): Tier[] =>
  DELAYS_S.map((delayS, start) => ({ delayS, lines: linesAt(delayS, start) }));

const frequencies = (tiers: Tier[]): number[] =>
  stableOverStarts(tiers, RECORD_S).map(({ line }) => Math.round((100 * line.omega) / (2 * Math.PI)) / 100);

describe("stableOverStarts", () => {
  it("stableOverStarts(no starts, or starts without lines) is empty", () => {
    expect(stableOverStarts([], RECORD_S)).toEqual([]);
    expect(
      stableOverStarts(
        tiersOf(() => []),
        RECORD_S,
      ),
    ).toEqual([]);
  });

  it("stableOverStarts(one line from every start) keeps it once, with the values of the smallest error", () => {
    const sdOmega = [0.02, 0.008, 0.01, 0.02, 0.03];
    const tiers = tiersOf((delayS, start) => [seenAt(delayS, 800, 2, { sdOmega: sdOmega[start] })]);
    const kept = stableOverStarts(tiers, RECORD_S);
    expect(kept.length).toBe(1);
    expect(kept[0].line).toBe(tiers[1].lines[0]);
    expect(kept[0].delayS).toBe(0.1);
    expect(kept[0].settled).toBe(true);
    expect(kept[0].seenIn.length).toBe(DELAYS_S.length);
  });

  it("stableOverStarts adds the scatter between starts to the error of the fit", () => {
    const offsets = [0, 0.01, -0.01, 0.005, 0];
    const tiers = tiersOf((delayS, start) => [seenAt(delayS, 800 + offsets[start], 2 + offsets[start])]);
    const [{ sdOmega, sdAlpha }] = stableOverStarts(tiers, RECORD_S);
    const spread = Math.sqrt(offsets.reduce((sum, v) => sum + v * v, 0) / 4);
    expect(sdOmega).toBeGreaterThan(2 * Math.PI * spread);
    expect(sdAlpha).toBeGreaterThan(spread);
    expect(sdOmega).toBeLessThan(2 * Math.hypot(2 * Math.PI * spread, 0.01));
  });

  it("stableOverStarts(a line that only one start has) leaves it out", () => {
    expect(frequencies(tiersOf((delayS, start) => (start === 2 ? [seenAt(delayS, 800, 2)] : [])))).toEqual(
      [],
    );
  });

  it("stableOverStarts(a line whose amplitude does not fall as its decay says) leaves it out", () => {
    const alpha = 8;
    const loud = (delayS: number) => seenAt(delayS, 800, alpha, { cRe: Float64Array.of(0.1) });
    // Falls by e^1.6 from 0.2 to 0.4 s, and by e^3.2 on to 0.8 s, if it decays; three errors and 0.4 nepers are allowed.
    const tiers: Tier[] = [0.2, 0.4, 0.8].map((delayS) => ({ delayS, lines: [loud(delayS)] }));
    expect(frequencies(tiers)).toEqual([]);
  });

  it("stableOverStarts(a line that decays at another rate from every start) leaves it out", () => {
    const rates = [2, 5, 1, 12, 0.5];
    expect(frequencies(tiersOf((delayS, start) => [seenAt(delayS, 800, rates[start])]))).toEqual([]);
  });

  it("stableOverStarts(starts that share nearly all their data) is not convinced", () => {
    // A twentieth of a second is a fortieth of the decay.
    const tiers = [0, 0.05].map((delayS) => ({ delayS, lines: [seenAt(delayS, 800, 0.5)] }));
    expect(frequencies(tiers)).toEqual([]);
  });

  it("stableOverStarts(lines lost in the misfit) leaves them out", () => {
    const lost = (delayS: number) => [seenAt(delayS, 800, 2, { rho: 1000, chi: 50 })];
    expect(frequencies(tiersOf(lost))).toEqual([]);
  });

  it("stableOverStarts(a pair and a fast line) keeps all, each with its own", () => {
    const tiers = tiersOf((delayS, start) => [
      seenAt(delayS, 801, 2),
      seenAt(delayS, 800, 2.2),
      ...(start < 4 ? [seenAt(delayS, 3000, 9)] : []),
    ]);
    expect(frequencies(tiers).sort((a, b) => a - b)).toEqual([800, 801, 3000]);
  });

  it("stableOverStarts(a pitch that settles) takes the late value and counts what it still moved", () => {
    // Half a hertz in 3 kHz, e-folding in 0.3 s.
    const at = (delayS: number) => 3000 + 0.5 * Math.exp(-delayS / 0.3);
    const tiers = tiersOf((delayS) => [seenAt(delayS, at(delayS), 2)]);
    const [{ line, sdOmega }] = stableOverStarts(tiers, RECORD_S);
    expect(line).toBe(tiers[4].lines[0]);
    expect(sdOmega).toBeGreaterThanOrEqual(2 * Math.PI * (at(0.4) - at(0.8)) - 1e-9);
  });
});
