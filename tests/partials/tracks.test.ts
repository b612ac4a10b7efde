import { describe, expect, it } from "vitest";
import { stableTracks, summarise, type Tier } from "../../src/partials/tracks.ts";
import { DELAYS_S, RECORD_S, seenAt, tiersOf } from "./tiers-of.ts";

/** What a ring that never settles is measured by. */
const stableOverStarts = (tiers: Tier[], recordS: number) => stableTracks(tiers, recordS).map(summarise);

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

  it("stableOverStarts adds what later starts differ by beyond chance to the error of the fit", () => {
    const offsets = [0, 0.01, -0.01, 0.005, 0];
    const tiers = tiersOf((delayS, start) => [seenAt(delayS, 800 + offsets[start], 2 + offsets[start])]);
    const [{ sdOmega, sdAlpha }] = stableOverStarts(tiers, RECORD_S);
    // The last start differs from the one before by 0.005, the least of all, of which seven tenths may be left; 0.01 is its own.
    expect(sdOmega).toBeCloseTo(Math.hypot(2 * Math.PI * 0.7 * 0.005, 0.01), 9);
    expect(sdAlpha).toBeCloseTo(Math.hypot(0.7 * 0.005, 0.01), 9);
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
    const rates = [0.4, 5, 12, 40, 1.6];
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

  it("stableOverStarts(a pitch that settles) takes the late value and counts what it still moves", () => {
    // Half a hertz in 3 kHz, e-folding in 0.3 s.
    const at = (delayS: number) => 3000 + 0.5 * Math.exp(-delayS / 0.3);
    const tiers = tiersOf((delayS) => [seenAt(delayS, at(delayS), 2)]);
    const [{ line, sdOmega }] = stableOverStarts(tiers, RECORD_S);
    expect(line).toBe(tiers[4].lines[0]);
    // What is still to come is less than what the last step was.
    expect(sdOmega).toBeGreaterThanOrEqual(2 * Math.PI * (at(0.8) - 3000));
  });

  it("stableOverStarts(a doublet nearer than a line may drift) keeps both apart, each from its earliest start", () => {
    const tiers = tiersOf((delayS) => [seenAt(delayS, 800, 2), seenAt(delayS, 800.3, 2)]);
    const kept = stableOverStarts(tiers, RECORD_S);
    expect(kept.length).toBe(2);
    for (const { sdOmega, early } of kept) {
      // Nothing moves between the starts: the error is that of each fit.
      expect(sdOmega).toBeCloseTo(0.01, 9);
      expect(early.delayS).toBe(DELAYS_S[0]);
    }
  });

  it("stableOverStarts says from which starts a line was seen, the first of them for its amplitude", () => {
    const tiers = tiersOf((delayS, start) => [
      seenAt(delayS, 800, 2, { sdOmega: start === 4 ? 0.005 : 0.01 }),
    ]);
    const [{ line, early, seenIn }] = stableOverStarts(tiers, RECORD_S);
    expect(line).toBe(tiers[4].lines[0]);
    expect(early).toEqual({ line: tiers[0].lines[0], delayS: 0.03 });
    expect(seenIn).toEqual(["30", "100", "200", "400", "800"].map((ms) => `the ring from ${ms} ms`));
  });

  it("stableOverStarts(two lines within their errors, each louder by turns) follows each by what is nearest", () => {
    // Both would pass for the other: 0.3 Hz is 1.9 rad/s, three errors of 1 rad/s and 0.6 of decay rate are more.
    const tiers = tiersOf((delayS, start) => [
      seenAt(delayS, 800, 2, { sdOmega: 1, rho: start % 2 === 1 ? 2e4 : 1e4 }),
      ...(start > 0 ? [seenAt(delayS, 800.3, 2, { sdOmega: 1, rho: start % 2 === 1 ? 1e4 : 2e4 })] : []),
    ]);
    const kept = stableOverStarts(tiers, RECORD_S);
    expect(kept.map(({ seenIn }) => seenIn.length)).toEqual([5, 4]);
    for (const { line, early, sdOmega } of kept) {
      expect(line.omega).toBe(early.line.omega);
      expect(sdOmega).toBe(1);
    }
  });

  it("stableOverStarts(two starts far enough apart) is enough; the same span late in the ring counts as itself", () => {
    const seenFrom = (...delaysS: number[]) =>
      frequencies(delaysS.map((delayS) => ({ delayS, lines: [seenAt(delayS, 800, 0.5)] })));
    // A quarter of the decay constant of 2 s is half a second.
    expect(seenFrom(0.2, 0.71)).toEqual([800]);
    expect(seenFrom(0.4, 0.45)).toEqual([]);
  });

  it("stableOverStarts(a decay rate that is hardly known) keeps the line: its frequency is known all the same", () => {
    expect(frequencies(tiersOf((delayS) => [seenAt(delayS, 800, 0.9, { sdAlpha: 0.9 })]))).toEqual([800]);
  });

  it("stableOverStarts(a frequency that jumps by 5 Hz between starts) has no line that two of them share", () => {
    expect(frequencies(tiersOf((delayS, start) => [seenAt(delayS, 800 + 5 * start, 2)]))).toEqual([]);
  });
});

describe("summarise", () => {
  const summaryOf = (hertz: number[], sds: number[]) => {
    const tiers = hertz.map((f, i) => ({
      delayS: 0.2 * i,
      lines: [seenAt(0.2 * i, f, 2, { sdOmega: sds[i] })],
    }));
    return summarise({ tiers, lines: tiers.map(({ lines }) => lines[0]) });
  };
  const of = (radians: number) => 800 + radians / (2 * Math.PI);

  it("summarise takes the start with the smallest error, what it differs by from later ones and, in part, from the one before included", () => {
    const moving = summaryOf([of(0), of(0.5), of(0.8)], [0.01, 0.02, 0.02]);
    expect(moving.delayS).toBeCloseTo(0.4, 12);
    expect(moving.sdOmega).toBeCloseTo(Math.hypot(0.02, 0.7 * 0.3), 9);
    // By chance two starts differ by the difference of their variances.
    const still = summaryOf([of(0), of(0.015)], [0.01, 0.02]);
    expect(still.delayS).toBe(0);
    expect(still.sdOmega).toBeCloseTo(0.01, 9);
    const two = summaryOf([of(0), of(0.5)], [0.01, 0.02]);
    expect(two.delayS).toBeCloseTo(0.2, 12);
    const beyond = 0.7 * Math.sqrt(0.5 ** 2 - (0.02 ** 2 - 0.01 ** 2));
    expect(two.sdOmega).toBeCloseTo(Math.hypot(0.02, beyond), 9);
  });
});
