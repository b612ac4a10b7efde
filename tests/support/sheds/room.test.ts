import { describe, expect, it } from "vitest";
import { makeRandom } from "../synthetic/index.ts";
import { convolve, delayed, gainOf } from "./render.ts";
import { garden, shed } from "./room.ts";

const FS = 48000;

/** Seconds for 60 dB by Schroeder's backward integral, -5 to -25 dB (T20 of ISO 3382-1). */
function t20Of(response: Float64Array): number {
  const left = new Float64Array(response.length + 1);
  for (let i = response.length - 1; i >= 0; i--) left[i] = left[i + 1] + response[i] ** 2;
  const at = (db: number) => left.findIndex((e) => 10 * Math.log10(e / left[0]) <= db);
  return (3 * (at(-25) - at(-5))) / FS;
}

describe("shed", () => {
  it("shed gives rooms whose sound dies about as fast as Eyring's formula says, and weak direct sound", () => {
    const rooms = Array.from({ length: 9 }, (_, seed) => shed(makeRandom(seed), FS));
    const sorted = (values: number[]) => values.sort((a, b) => a - b);
    const ratios = rooms.map(({ response, rtS }) => t20Of(response.slice(1)) / rtS);
    // The formula holds for a diffuse field, which an even box of this size is within a tenth or so; the median of nine is closer.
    expect(Math.abs(sorted(ratios)[4] - 1)).toBeLessThan(0.15);
    const levels = rooms.map(
      ({ response }) => -10 * Math.log10(response.slice(1).reduce((s, x) => s + x * x, 0)),
    );
    // Standard error of a median of nine with 3 dB of scatter: 1.25 dB; twice that.
    expect(Math.abs(sorted(levels)[4] + 4)).toBeLessThan(2.5);
  });
});

describe("garden", () => {
  it("garden gives the direct sound and one weaker reflection, later by less than 10 ms", () => {
    const { response, rtS } = garden(makeRandom(1), FS);
    expect(rtS).toBe(0);
    expect([...response].filter((x) => x !== 0)).toHaveLength(2);
    expect(response.at(-1)).toBeLessThan(0.9);
    expect(response.length).toBeLessThan(0.01 * FS);
  });
});

describe("convolve, gainOf, delayed", () => {
  it("convolve agrees with the sum written out, over several blocks", () => {
    const random = makeRandom(1);
    const signal = Float64Array.from({ length: 5000 }, () => random.normal());
    const response = Float64Array.from({ length: 70 }, () => random.normal());
    const out = convolve(signal, response);
    for (const at of [0, 69, 954, 955, 1909, 4999]) {
      let sum = 0;
      for (let k = 0; k < response.length; k++) sum += (signal[at - k] ?? 0) * response[k];
      // Rounding of a transform of 1024 values near 1.
      expect(Math.abs(out[at] - sum)).toBeLessThan(1e-10);
    }
  });

  it("gainOf says what a response makes of a damped sinusoid once it is over", () => {
    const [f, t60] = [440, 0.5];
    const ring = (n: number) =>
      Math.exp((-Math.log(1000) * n) / (t60 * FS)) * Math.cos((2 * Math.PI * f * n) / FS);
    const response = new Float64Array(200);
    response[0] = 1;
    response[199] = 0.5;
    const signal = Float64Array.from({ length: 4000 }, (_, n) => ring(n));
    const out = convolve(signal, response);
    const energy = (x: Float64Array) => x.slice(300).reduce((sum, y) => sum + y * y, 0);
    // Over 33 periods the phase matters little: half a period in 33.
    expect(Math.sqrt(energy(out) / energy(signal))).toBeCloseTo(gainOf(response, FS, f, t60), 1);
  });

  it("delayed shifts a tone by a part of a sample", () => {
    const tone = (n: number) => Math.sin((2 * Math.PI * 1000 * n) / FS);
    const out = delayed(
      Float64Array.from({ length: 200 }, (_, n) => tone(n)),
      () => 2.5,
    );
    // A Hann-windowed sinc of 16 taps is flat to 1e-3 at a fiftieth of the sampling rate.
    for (let n = 20; n < 180; n++) expect(Math.abs(out[n] - tone(n - 2.5))).toBeLessThan(1e-3);
  });
});
