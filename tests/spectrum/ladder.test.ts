import { describe, expect, it } from "vitest";
import { fftLadder } from "../../src/spectrum/index.ts";
import { makeRandom } from "../support/synthetic/index.ts";

/** Samples that count how often they are read. */
function counted(samples: Float64Array): { channel: ArrayLike<number>; reads: () => number } {
  let reads = 0;
  const channel = new Proxy(samples, {
    get(target, key) {
      if (typeof key === "string" && /^\d+$/.test(key)) reads++;
      return Reflect.get(target, key, target);
    },
  });
  return { channel, reads: () => reads };
}

const noise = (length: number, seed: number): Float64Array => {
  const random = makeRandom(seed);
  return Float64Array.from({ length }, () => random.normal());
};

const sizes = (samples: number): number[] =>
  fftLadder([new Float64Array(samples)], 0, samples, 48_000).map((step) => step.size);

describe("fftLadder", () => {
  it("fftLadder(fewer than 128 samples) is empty, also where the end lies before the start", () => {
    expect(sizes(0)).toEqual([]);
    expect(sizes(127)).toEqual([]);
    expect(fftLadder([new Float64Array(5000)], 4000, 100, 48_000)).toEqual([]);
  });

  it("fftLadder(samples) halves the longest size down to about 3,000 samples", () => {
    expect(sizes(128)).toEqual([128]);
    expect(sizes(3000)).toEqual([2560]);
    expect(sizes(50_000)).toEqual([49152, 24576, 12288, 6144, 3072, 1536]);
    expect(sizes(250_000)).toEqual([245760, 122880, 61440, 30720, 15360, 7680, 3840, 1920]);
  });

  it("fftLadder(channels) reads no sample before a step is asked for, and each step's samples once", () => {
    const { channel, reads } = counted(noise(20_000, 1));
    const steps = fftLadder([channel], 100, 20_000, 48_000);
    expect(steps.map((step) => step.size)).toEqual([18432, 9216, 4608, 2304]);
    expect(reads()).toBe(0);
    const { re } = steps[3];
    expect(reads()).toBe(2304);
    expect(steps[3].im[0].length).toBe(1153);
    expect(steps[3].re).toBe(re);
    expect(reads()).toBe(2304);
  });

  it("fftLadder(channels, start) begins every step at the same sample, channel by channel", () => {
    const channels = [noise(9000, 2), noise(9000, 3)];
    for (const { size, re } of fftLadder(channels, 500, 9000, 48_000)) {
      channels.forEach((x, c) => {
        // Bin 0 is the plain sum: N samples of unit size, N roundoffs at most.
        const sum = x.slice(500, 500 + size).reduce((a, b) => a + b, 0);
        expect(Math.abs(re[c][0] - sum)).toBeLessThan(size * 2 ** -52);
      });
    }
  });
});
