import { describe, expect, it } from "vitest";
import type { Mode } from "../../src/partials/index.ts";
import { partialRingDown, type RingDownSource, wholeRingDown } from "../../src/tap/ring-down-curves.ts";
import { makeRandom } from "../support/synthetic/index.ts";
import { modeAt } from "./bells.ts";

const FS = 8000;

function sourceOf(modes: Mode[], durationS: number, noiseSd: number, seed = 1): RingDownSource {
  const random = makeRandom(seed);
  const x = Float64Array.from({ length: Math.round(durationS * FS) }, (_, n) => {
    const t = n / FS;
    let sum = noiseSd * random.normal();
    for (const m of modes) {
      sum +=
        m.amplitude[0] *
        Math.exp(-m.decayRatePerS * t) *
        Math.cos(2 * Math.PI * m.frequencyHz * t + m.phaseRad[0]);
    }
    return sum;
  });
  const variance = noiseSd ** 2;
  const noise = { centresHz: Float64Array.of(20, FS / 2), variance: Float64Array.of(variance, variance) };
  return {
    x,
    channel: 0,
    sampleRateHz: FS,
    onsetSample: 0,
    endSample: x.length,
    noise,
    reference: modes.length ? modes[0].amplitude[0] : 1,
  };
}

/** Mean of levels as powers, dB. */
const meanDb = (levels: number[]) =>
  10 * Math.log10(levels.reduce((s, v) => s + 10 ** (v / 10), 0) / levels.length);

describe("wholeRingDown", () => {
  it("wholeRingDown of a ring shorter than one point is empty", () => {
    expect(wholeRingDown(sourceOf([], 0.001, 0.01), [])).toMatchObject({
      partial: null,
      timeS: [],
      levelDb: [],
    });
  });

  it("wholeRingDown of silence is finite", () => {
    const curve = wholeRingDown(sourceOf([], 0.5, 0), []);
    expect([...curve.levelDb, ...curve.modelDb, curve.noiseDb].every(Number.isFinite)).toBe(true);
  });

  it("wholeRingDown gives 0 dB for a steady sinusoid of the reference amplitude", () => {
    const steady = modeAt(1000, { decayRatePerS: 0 });
    const curve = wholeRingDown(sourceOf([steady], 2, 0), [[steady]]);
    // 80 samples of 1000 Hz at 8 kHz are ten whole periods: the mean square is exact.
    for (const level of curve.levelDb) expect(level).toBeCloseTo(0, 9);
    for (const level of curve.modelDb) expect(level).toBeCloseTo(0, 9);
  });

  it("wholeRingDown follows the model of a decaying mode", () => {
    const mode = modeAt(1000, { decayRatePerS: 3 });
    const curve = wholeRingDown(sourceOf([mode], 2, 0), [[mode]]);
    // The mean of exp(-2at) over 10 ms, off its middle value by (2aT)^2/24, and a few periods of cosine within them.
    curve.levelDb.forEach((level, i) => {
      expect(Math.abs(level - curve.modelDb[i])).toBeLessThan(0.05);
    });
  });

  it("wholeRingDown adds the powers of partials and keeps the beat within one", () => {
    const pair = [modeAt(1000, { decayRatePerS: 0 }), modeAt(1004, { decayRatePerS: 0 })];
    const apart = [modeAt(400, { decayRatePerS: 0 }), modeAt(900, { decayRatePerS: 0 })];
    const beating = wholeRingDown(sourceOf(pair, 2, 0), [pair]).modelDb;
    const even = wholeRingDown(sourceOf(apart, 2, 0), [[apart[0]], [apart[1]]]).modelDb;
    expect(Math.max(...beating)).toBeGreaterThan(5.9);
    expect(Math.min(...beating)).toBeLessThan(-10);
    // Two equal powers: 3.01 dB over one.
    for (const level of even) expect(level).toBeCloseTo(3.0103, 3);
  });

  it("wholeRingDown draws the noise where the level of noise alone lies", () => {
    const curve = wholeRingDown(sourceOf([], 4, 0.01), []);
    // Mean square of 32000 normal deviates: relative error sqrt(2/32000), four of them, 0.14 dB.
    expect(Math.abs(meanDb(curve.levelDb) - curve.noiseDb)).toBeLessThan(4 * 4.34 * Math.sqrt(2 / 32000));
  });
});

describe("partialRingDown", () => {
  it("partialRingDown of a ring of a few samples is empty and finite", () => {
    const mode = modeAt(1000);
    const curve = partialRingDown(sourceOf([mode], 0.001, 0.01), 0, [mode], 1000);
    expect(curve.timeS).toEqual([]);
    expect(Number.isFinite(curve.noiseDb)).toBe(true);
  });

  it("partialRingDown follows its model within the noise", () => {
    const mode = modeAt(1000, { decayRatePerS: 1 });
    const curve = partialRingDown(sourceOf([mode], 5, 1e-4), 3, [mode], 500);
    expect(curve.partial).toBe(3);
    // A step is a whole number of blocks, the one nearest to the 240th of the record.
    expect(curve.timeS.length).toBeGreaterThanOrEqual(160);
    expect(curve.timeS.length).toBeLessThanOrEqual(360);
    curve.timeS.forEach((_, i) => {
      const over = curve.modelDb[i] - curve.noiseDb;
      if (over < 20) return;
      // Noise of relative size r moves a level by at most 20 lg(1 + r); in-phase noise is r/sqrt(2), four of them. A mean
      // over a window of 0.25 s lifts the level of a decay of 1 /s by (0.25)^2/12 nepers, 0.05 dB; the image adds 0.01.
      const r = (4 / Math.SQRT2) * 10 ** (-over / 20);
      expect(Math.abs(curve.levelDb[i] - curve.modelDb[i])).toBeLessThan(20 * Math.log10(1 + r) + 0.06);
    });
    // At least the first three seconds of a mode that starts 80 dB over the noise were compared.
    expect(curve.modelDb.filter((m) => m - curve.noiseDb >= 20).length).toBeGreaterThan(100);
  });

  it("partialRingDown shows the beat of a doublet where the model has it", () => {
    const pair = [modeAt(1000, { decayRatePerS: 1 }), modeAt(1001, { decayRatePerS: 1 })];
    const curve = partialRingDown(sourceOf(pair, 4, 0), 0, pair, 500);
    const lowest = (levels: number[]) => curve.timeS[levels.indexOf(Math.min(...levels.slice(0, 60)))];
    // Points lie 240 to the record.
    expect(Math.abs(lowest(curve.levelDb) - lowest(curve.modelDb))).toBeLessThanOrEqual((2 * 4) / 240);
    expect(lowest(curve.modelDb)).toBeCloseTo(0.5, 1);
  });

  it("partialRingDown is not moved by a neighbour outside its window", () => {
    const mode = modeAt(1000, { decayRatePerS: 1 });
    const neighbour = modeAt(1300, { decayRatePerS: 1 });
    const curve = partialRingDown(sourceOf([mode, neighbour], 3, 0), 0, [mode], 300);
    // A triangle of two windows of 1/4 s passes at most 1/(pi 300/4)^2 of a neighbour 300 Hz off, four offsets of the mean 1/4.
    const most = 20 * Math.log10(1 + 1 / (Math.PI * 75));
    curve.levelDb.forEach((level, i) => {
      expect(Math.abs(level - curve.modelDb[i])).toBeLessThan(most + 0.06);
    });
  });

  it("partialRingDown draws the noise where the level of noise alone lies", () => {
    const curve = partialRingDown(sourceOf([], 4, 0.01), 0, [modeAt(1000, { decayRatePerS: 60 })], 500);
    // Powers of about 240 nearly independent points, exponentially distributed: four errors of the mean.
    const off = 10 ** ((meanDb(curve.levelDb) - curve.noiseDb) / 10) - 1;
    expect(Math.abs(off)).toBeLessThan(4 / Math.sqrt(curve.levelDb.length));
  });
});
