import { describe, expect, it } from "vitest";
import type { NoiseSpectrum } from "../../src/spectrum/index.ts";
import { spectrumCurve } from "../../src/tap/spectrum-curve.ts";
import { makeRandom } from "../support/synthetic/index.ts";

const FS = 16000;
const COUNT = 2 ** 14;
/** Worst loss of a sinusoid half a bin off under a Hann window: Harris, Proc. IEEE 66 (1978) 51-83, table 1. */
const SCALLOPING_DB = 1.42;

const flat = (variance: number): NoiseSpectrum => ({
  centresHz: Float64Array.of(20, FS / 2),
  variance: Float64Array.of(variance, variance),
});
const tone = (bins: number, amplitude: number) =>
  Float64Array.from(
    { length: COUNT },
    (_, n) => amplitude * Math.cos((2 * Math.PI * bins * n) / COUNT + 0.4),
  );
const curveOf = (x: ArrayLike<number>, reference: number, variance = 1e-10) =>
  spectrumCurve(x, 0, x.length, FS, flat(variance), reference);

describe("spectrumCurve", () => {
  it("spectrumCurve of silence is finite", () => {
    const curve = curveOf(new Float64Array(COUNT), 1, 0);
    expect([...curve.levelDb, ...curve.noiseDb].every(Number.isFinite)).toBe(true);
  });

  it("spectrumCurve of a ring shorter than its least window is finite", () => {
    const curve = curveOf(new Float64Array(100).fill(0.1), 1);
    expect(curve.frequencyHz.length).toBeGreaterThan(0);
    expect(curve.levelDb.every(Number.isFinite)).toBe(true);
  });

  it("spectrumCurve of nothing is finite", () => {
    expect(curveOf(new Float64Array(0), 1).levelDb.every(Number.isFinite)).toBe(true);
  });

  it("spectrumCurve gives 0 dB for a steady sinusoid of the reference amplitude, on a bin", () => {
    // What the image of the tone, 2000 bins away, adds is under 1e-6.
    expect(Math.max(...curveOf(tone(1000, 0.3), 0.3).levelDb)).toBeCloseTo(0, 4);
  });

  it("spectrumCurve loses no more than the scalloping of the Hann window between bins", () => {
    for (const part of [0.1, 0.25, 0.5, 0.75]) {
      const top = Math.max(...curveOf(tone(1000 + part, 0.3), 0.3).levelDb);
      expect(top).toBeLessThan(0.001);
      expect(top).toBeGreaterThan(-SCALLOPING_DB - 0.01);
    }
    expect(Math.max(...curveOf(tone(1000.5, 0.3), 0.3).levelDb)).toBeCloseTo(-SCALLOPING_DB, 2);
  });

  it("spectrumCurve gives levels against the reference", () => {
    expect(Math.max(...curveOf(tone(1000, 0.03), 0.3).levelDb)).toBeCloseTo(-20, 4);
  });

  it("spectrumCurve puts the tone at its own frequency, within a bin", () => {
    const curve = curveOf(tone(1000.3, 0.3), 0.3);
    const at = curve.levelDb.indexOf(Math.max(...curve.levelDb));
    expect(Math.abs(curve.frequencyHz[at] - (1000.3 * FS) / COUNT)).toBeLessThanOrEqual(FS / COUNT);
  });

  it("spectrumCurve draws the noise where the mean power of white noise lies", () => {
    const random = makeRandom(1);
    const sd = 0.01;
    const x = Float64Array.from({ length: COUNT }, () => sd * random.normal());
    const curve = curveOf(x, 0.3, sd ** 2);
    // Below 40 dB of log steps each holds one bin: powers there are exponentially distributed about the mean.
    const single = curve.frequencyHz.map((f, i) => [f, i]).filter(([f]) => f < 120);
    const mean =
      single.reduce((s, [, i]) => s + 10 ** ((curve.levelDb[i] - curve.noiseDb[i]) / 10), 0) / single.length;
    // The error of the mean is 1/sqrt(n), doubled by the neighbours a Hann window ties together; four of them.
    expect(Math.abs(mean - 1)).toBeLessThan((4 * 2) / Math.sqrt(single.length));
    expect(new Set(curve.noiseDb.map((v) => v.toFixed(9))).size).toBe(1);
  });

  it("spectrumCurve has at most 900 points, ascending, below half the sample rate", () => {
    const { frequencyHz, levelDb, noiseDb } = curveOf(tone(1000, 0.3), 0.3);
    expect(frequencyHz.length).toBeLessThanOrEqual(900);
    expect(levelDb).toHaveLength(frequencyHz.length);
    expect(noiseDb).toHaveLength(frequencyHz.length);
    expect(frequencyHz.every((f, i) => i === 0 || f > frequencyHz[i - 1])).toBe(true);
    expect(frequencyHz.at(-1)).toBeLessThan(FS / 2);
  });
});
