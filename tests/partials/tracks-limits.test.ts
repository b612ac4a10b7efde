import { describe, expect, it } from "vitest";
import type { Line } from "../../src/partials/line.ts";
import { stableTracks } from "../../src/partials/tracks.ts";
import { RECORD_S, seenAt } from "./tiers-of.ts";

describe("stableTracks, limit by limit", () => {
  const FROM_S = 0.1;
  const TO_S = 0.6;
  const RATE = 2;
  const omega = 2 * Math.PI * 800;

  /** Whether a line at the second of two starts goes on from one at the first. */
  function joins(before: Partial<Line>, after: Partial<Line>): boolean {
    const tiers = [
      { delayS: FROM_S, lines: [seenAt(FROM_S, 800, RATE, before)] },
      { delayS: TO_S, lines: [seenAt(TO_S, 800, RATE, after)] },
    ];
    return stableTracks(tiers, RECORD_S).length === 1;
  }
  const level = (nepers: number) => Float64Array.of(0.1 * Math.exp(-RATE * TO_S + nepers));

  it("stableTracks lets a frequency move by three errors, 0.3 of the faster rate and a drift of 7e-4", () => {
    const sd = { before: 0.1, after: 0.2 };
    for (const [alpha, other] of [
      [2.4, RATE],
      [RATE, 2.4],
    ]) {
      const limit = 3 * Math.hypot(0.1, 0.2) + 0.3 * 2.4 + 7e-4 * omega;
      for (const side of [-1, 1]) {
        const at = (share: number) =>
          joins(
            { sdOmega: sd.before, alpha: other, sdAlpha: 0.1, cRe: level(RATE * TO_S - other * FROM_S) },
            {
              sdOmega: sd.after,
              alpha,
              sdAlpha: 0.1,
              omega: omega + side * share * limit,
              cRe: level(RATE * TO_S - other * TO_S),
            },
          );
        expect([at(0.99), at(1.01)]).toEqual([true, false]);
      }
    }
  });

  it("stableTracks lets the rate be another by 0.3 /s, half of it, and three errors that count up to a tenth of it", () => {
    const joinsAt = (alpha: number, sdAlpha: number) =>
      joins(
        { sdAlpha: 0 },
        { alpha, sdAlpha, cRe: level(0.5 * (RATE - alpha) * (TO_S - FROM_S)), sdOmega: 0.005 },
      );
    // Of a rate a: a - 2 = 0.3 + 0.5 a at 4.6, with three errors of 0.1 at 5.2, with errors of a tenth of a at 11.5.
    expect([joinsAt(4.55, 0), joinsAt(4.65, 0)]).toEqual([true, false]);
    expect([joinsAt(5.15, 0.1), joinsAt(5.25, 0.1)]).toEqual([true, false]);
    expect([joinsAt(11.4, 9), joinsAt(11.6, 9)]).toEqual([true, false]);
  });

  it("stableTracks lets the amplitude be another by 0.4 and three errors, its rate's among them, of half a neper at the most", () => {
    const sd = Math.hypot(0.1, 0.05, 0.2 * (TO_S - FROM_S));
    const at = (nepers: number, sdLogAmplitude = 0.1) =>
      joins({ sdLogAmplitude: 0.05, sdAlpha: 0.2 }, { sdLogAmplitude, cRe: level(nepers) });
    for (const side of [-1, 1]) {
      expect([at(side * 0.99 * (0.4 + 3 * sd)), at(side * 1.01 * (0.4 + 3 * sd))]).toEqual([true, false]);
      expect([at(side * 1.89, 7), at(side * 1.91, 7)]).toEqual([true, false]);
    }
  });

  it("stableTracks compares lines from a matched-filter SNR of 25 over the misfit on", () => {
    const at = (rho: number, chi: number) => joins({ rho, chi }, { rho, chi });
    expect([at(24.9, 0.5), at(25.1, 0.5), at(74.9, 3), at(75.1, 3)]).toEqual([false, true, false, true]);
  });

  it("stableTracks wants starts a quarter of the middle decay constant apart, or a fifth of the record", () => {
    const spans = (alphas: number[], stepS: number) =>
      stableTracks(
        alphas.map((alpha, i) => ({
          delayS: i * stepS,
          lines: [seenAt(0, 800, alpha, { cRe: Float64Array.of(0.1 * Math.exp(-2.2 * i * stepS)) })],
        })),
        RECORD_S,
      ).length === 1;
    // 0.25 / 2.2 is 0.1136, in two steps.
    expect([spans([2.4, 2, 2.2], 0.0563), spans([2.4, 2, 2.2], 0.0573)]).toEqual([false, true]);
    const slow = (stepS: number) =>
      stableTracks(
        [0, stepS].map((delayS) => ({ delayS, lines: [seenAt(delayS, 800, 0.1, { sdAlpha: 0.01 })] })),
        RECORD_S,
      ).length;
    expect([slow(1.19), slow(1.21), slow(0)]).toEqual([0, 1, 0]);
  });

  it("stableTracks goes on with the track that lies nearest by frequency and rate together", () => {
    const near = seenAt(FROM_S, 800, RATE * Math.exp(-0.25));
    const alike = seenAt(FROM_S, 800 + (0.5 * RATE) / (2 * Math.PI), RATE);
    // From the first 0.2 of a rate and 0.25 in its logarithm, from the second 0.3 and nothing.
    const next = seenAt(TO_S, 800 + (0.2 * RATE) / (2 * Math.PI), RATE);
    for (const lines of [
      [near, alike],
      [alike, near],
    ]) {
      const tracks = stableTracks(
        [
          { delayS: FROM_S, lines },
          { delayS: TO_S, lines: [next] },
        ],
        RECORD_S,
      );
      expect(tracks.map((track) => track.lines)).toEqual([[alike, next]]);
    }
  });

  it("stableTracks lets the stronger of two go on, whichever comes first", () => {
    const weak = seenAt(TO_S, 800.1, RATE, { rho: 100 });
    const strong = seenAt(TO_S, 800.2, RATE);
    for (const lines of [
      [weak, strong],
      [strong, weak],
    ]) {
      const first = { delayS: FROM_S, lines: [seenAt(FROM_S, 800, RATE)] };
      expect(stableTracks([first, { delayS: TO_S, lines }], RECORD_S).map((t) => t.lines[1])).toEqual([
        strong,
      ]);
    }
  });
});
