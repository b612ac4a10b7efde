import { describe, expect, it } from "vitest";
import { type Baseband, basebandOf, LONGEST_BASEBAND_S, transformed } from "../../src/partials/baseband.ts";
import type { NoiseSpectrum } from "../../src/spectrum/index.ts";
import { makeRandom } from "../support/synthetic/index.ts";
import { knownNoise, RING_RATE_HZ, ringDownOf } from "./rings.ts";

const FS = RING_RATE_HZ;
/** A window of four hops; its reach is 0.6 % of the frequency and 10 Hz. */
const hopAt = (frequencyHz: number, fs = FS) => Math.round(fs / (0.006 * frequencyHz + 10) / 4);

/** Two channels of white noise of 1.1 s, the first contact before what may be used of it. */
function noiseRing() {
  const random = makeRandom(7);
  const white = () => Float32Array.from({ length: 1.1 * FS }, random.normal);
  return {
    ...ringDownOf([], 1, 1),
    channels: [white(), white()],
    onsetSample: 40,
    ringStartSample: 100,
    endSample: 1.05 * FS,
  };
}

/** White noise of unlike strength in the two channels, the first rising with the frequency. */
const NOISE: NoiseSpectrum[] = [
  { centresHz: Float64Array.of(20, 4000), variance: Float64Array.of(1, 3) },
  { centresHz: Float64Array.of(20, 4000), variance: Float64Array.of(5, 5) },
];

/** Hann's window over a length, the sum of it 1. */
const hann = (length: number): number[] =>
  Array.from({ length }, (_, i) => (1 - Math.cos((2 * Math.PI * (i + 0.5)) / length)) / length);

describe("basebandOf", () => {
  it("basebandOf(a ring) has in every value the sum of window times sound times e^(-j omega t), and its time", () => {
    const frequencyHz = 3000;
    const hop = hopAt(frequencyHz);
    const ring = noiseRing();
    const base = basebandOf(ring, frequencyHz, NOISE)!;
    expect(base.omega).toBeCloseTo(2 * Math.PI * frequencyHz, 9);
    // 8300 samples hold 113 windows, of which a power of two is used.
    expect(base.timeS.length).toBe(64);
    const window = hann(4 * hop);
    for (const c of [0, 1]) {
      for (const i of [0, 1, 2, 3, 40, 63]) {
        let [re, im] = [0, 0];
        window.forEach((w, k) => {
          const n = i * hop + k;
          const angle = (2 * Math.PI * frequencyHz * n) / FS;
          re += w * ring.channels[c][ring.ringStartSample + n] * Math.cos(angle);
          im -= w * ring.channels[c][ring.ringStartSample + n] * Math.sin(angle);
        });
        expect(base.re[c][i]).toBeCloseTo(re, 11);
        expect(base.im[c][i]).toBeCloseTo(im, 11);
      }
    }
    for (const i of [0, 1, 63]) {
      // The middle of the window, after the first contact.
      const first = ring.ringStartSample + i * hop - ring.onsetSample;
      const last = first + 4 * hop - 1;
      expect(base.timeS[i]).toBeCloseTo((first + last) / 2 / FS, 12);
    }
  });

  it("basebandOf(a ring) has a band of ascending bins about zero, empty, of what the window passes", () => {
    const { band } = basebandOf(noiseRing(), 3000, NOISE)!;
    const rate = FS / hopAt(3000);
    expect([band.level, band.size, band.sampleRateHz, band.count]).toEqual([0, 64, rate, 23]);
    // 36 % of the 64 bins about zero: 11 on either side, the negative ones at the end of the transform.
    const turns = Array.from({ length: 23 }, (_, i) => (i - 11) / 64);
    expect([...band.bins]).toEqual(turns.map((turn) => (64 * turn + 64) % 64));
    turns.forEach((turn, i) => {
      expect(band.omega[i]).toBeCloseTo(2 * Math.PI * turn * rate, 9);
      expect(band.stepRe[i]).toBeCloseTo(Math.cos(2 * Math.PI * turn), 12);
      expect(band.stepIm[i]).toBeCloseTo(-Math.sin(2 * Math.PI * turn), 12);
    });
    const empty = new Float64Array(23);
    expect(band.channels).toEqual([
      { re: empty, im: empty, weight: empty },
      { re: empty, im: empty, weight: empty },
    ]);
  });

  it("basebandOf(a ring) has in every bin the variance of white noise behind the window", () => {
    // At a low rate, so that a baseband has its most values: 512 of nine samples.
    const rateHz = 400;
    const length = 12 * rateHz;
    const ring = { ...noiseRing(), sampleRateHz: rateHz, endSample: length };
    ring.channels = [new Float32Array(length), new Float32Array(length)];
    const { band, variance } = basebandOf(ring, 100, NOISE)!;
    expect(band.size).toBe(512);
    const hop = hopAt(100, rateHz);
    const window = hann(4 * hop);
    // Values so many hops apart have the noise of the windows' overlap in common.
    const shared = [0, 1, 2, 3].map((d) =>
      window.reduce((sum, w, i) => sum + w * (window[i + d * hop] ?? 0), 0),
    );
    const densities = [1 + (2 * 80) / 3980, 5];
    densities.forEach((density, c) => {
      for (let i = 0; i < band.count; i++) {
        let expected = 0;
        for (let d = -3; d <= 3; d++) {
          expected +=
            (512 - Math.abs(d)) * shared[Math.abs(d)] * Math.cos((2 * Math.PI * band.bins[i] * d) / 512);
        }
        // The ends of the record, of a few hundredths of a percent, and what is folded, are left out.
        expect(variance[c][i] / (density * expected)).toBeCloseTo(1, 2);
      }
    });
  });

  it("basebandOf(a ring) takes what holds 32 windows, and no ring that does not", () => {
    const hop = hopAt(400);
    const ring = { ...ringDownOf([], 1, 2), ringStartSample: 10 };
    const least = ring.ringStartSample + 31 * hop + 4 * hop;
    const valuesTo = (endSample: number) =>
      basebandOf({ ...ring, endSample }, 400, [knownNoise()])?.timeS.length;
    expect(valuesTo(least)).toBe(32);
    expect(valuesTo(least - 1)).toBeUndefined();
    expect(valuesTo(least + 31 * hop)).toBe(32);
    expect(valuesTo(least + 32 * hop)).toBe(64);
  });

  it("LONGEST_BASEBAND_S is what the most values of the lowest line take", () => {
    // At 10 Hz of reach a hop is a fortieth of a second.
    expect(LONGEST_BASEBAND_S).toBeCloseTo((512 + 4) / 40, 12);
  });
});

describe("transformed", () => {
  it("transformed(values times a factor) is their discrete Fourier transform at the band's bins", () => {
    const base: Baseband = basebandOf(noiseRing(), 3000, NOISE)!;
    const random = makeRandom(2);
    const factor = {
      re: Float64Array.from({ length: 64 }, random.normal),
      im: Float64Array.from({ length: 64 }, random.normal),
    };
    const out = { re: new Float64Array(23), im: new Float64Array(23) };
    for (const c of [0, 1]) {
      transformed(base, c, factor.re, factor.im, out.re, out.im);
      for (let i = 0; i < 23; i++) {
        let [re, im] = [0, 0];
        for (let n = 0; n < 64; n++) {
          const a = base.re[c][n] * factor.re[n] - base.im[c][n] * factor.im[n];
          const b = base.re[c][n] * factor.im[n] + base.im[c][n] * factor.re[n];
          const angle = (-2 * Math.PI * base.band.bins[i] * n) / 64;
          re += a * Math.cos(angle) - b * Math.sin(angle);
          im += a * Math.sin(angle) + b * Math.cos(angle);
        }
        expect(out.re[i]).toBeCloseTo(re, 11);
        expect(out.im[i]).toBeCloseTo(im, 11);
      }
    }
  });
});
