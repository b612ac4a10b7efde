import { describe, expect, it } from "vitest";
import { goesOn, stableTracks, summarise, type Tier } from "../../src/partials/tracks.ts";
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

  it("stableOverStarts adds the scatter between starts to the error of the fit", () => {
    const offsets = [0, 0.01, -0.01, 0.005, 0];
    const tiers = tiersOf((delayS, start) => [seenAt(delayS, 800 + offsets[start], 2 + offsets[start])]);
    const [{ sdOmega, sdAlpha }] = stableOverStarts(tiers, RECORD_S);
    const spread = Math.sqrt(offsets.reduce((sum, v) => sum + v * v, 0) / 4);
    // About the first start, whose error is no larger than any: five values, four degrees of freedom; 0.01 is each fit's own.
    expect(sdOmega).toBeCloseTo(Math.hypot(2 * Math.PI * spread, 0.01), 9);
    expect(sdAlpha).toBeCloseTo(Math.hypot(spread, 0.01), 9);
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

  it("stableOverStarts(a decay rate known to 40 %) leaves it out, to 30 % keeps it", () => {
    const known = (sdAlpha: number) =>
      frequencies(tiersOf((delayS) => [seenAt(delayS, 800, 2, { sdAlpha })]));
    expect(known(0.8)).toEqual([]);
    expect(known(0.6)).toEqual([800]);
  });

  it("stableOverStarts(a frequency that jumps by 5 Hz between starts) has no line that two of them share", () => {
    expect(frequencies(tiersOf((delayS, start) => [seenAt(delayS, 800 + 5 * start, 2)]))).toEqual([]);
  });
});

describe("goesOn", () => {
  const goOn = (tiers: Tier[]) => stableTracks(tiers, RECORD_S).map((track) => goesOn(track, tiers));

  it("goesOn(a line that every later start has) is true, and so it is where the decay has ended it", () => {
    expect(goOn(tiersOf((delayS) => [seenAt(delayS, 800, 2, { rho: 5000 })]))).toEqual([true]);
    // 200 exp(-2 x 12 x 0.2) is 1.6.
    expect(
      goOn(tiersOf((delayS, start) => (start < 3 ? [seenAt(delayS, 800, 12, { rho: 200 })] : []))),
    ).toEqual([true]);
  });

  it("goesOn(a line that a later start lacks although its decay leaves it visible) is false", () => {
    // 5,000 exp(-2 x 2 x 0.2) is 2,250 at the start that lacks it: over a hundred is seen.
    const ends = tiersOf((delayS, start) => (start < 3 ? [seenAt(delayS, 800, 2, { rho: 5000 })] : []));
    const gap = tiersOf((delayS, start) => (start === 2 ? [] : [seenAt(delayS, 800, 2, { rho: 5000 })]));
    expect(goOn(ends)).toEqual([false]);
    expect(goOn(gap)).toEqual([false]);
  });

  it("goesOn(a line of which one start has but a piece) is true", () => {
    // 3 Hz is within 0.6 % of 800 Hz, and too far to be the same line.
    const piece = tiersOf((delayS, start) => [seenAt(delayS, start === 2 ? 803 : 800, 2, { rho: 5000 })]);
    expect(goOn(piece)).toEqual([true]);
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

  it("summarise(a frequency that moves over three starts) has the last, and the last step as its scatter", () => {
    const { delayS, sdOmega } = summaryOf([of(0), of(0.5), of(0.8)], [0.01, 0.02, 0.02]);
    expect(delayS).toBeCloseTo(0.4, 12);
    expect(sdOmega).toBeCloseTo(Math.hypot(0.02, 0.3), 9);
  });

  it("summarise(a move within three errors and 2e-5, or over two starts alone) has the smallest error and all scatter", () => {
    // Three errors are 0.042, and 2e-5 of the frequency 0.1.
    const little = summaryOf([of(0), of(0.05), of(0.13)], [0.01, 0.005, 0.01]);
    expect(little.delayS).toBeCloseTo(0.2, 12);
    expect(little.sdOmega).toBeCloseTo(Math.hypot(0.005, Math.sqrt((0.05 ** 2 + 0.08 ** 2) / 2)), 9);
    expect(summaryOf([of(0), of(0.05), of(0.16)], [0.01, 0.005, 0.01]).delayS).toBeCloseTo(0.4, 12);
    const two = summaryOf([of(0), of(0.5)], [0.01, 0.02]);
    expect(two.delayS).toBe(0);
    expect(two.sdOmega).toBeCloseTo(Math.hypot(0.01, 0.5), 9);
  });
});
