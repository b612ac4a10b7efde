import { describe, expect, it } from "vitest";
import {
  type NoiseSpectrum,
  noiseAt,
  noiseCentresHz,
  noiseOfResidual,
  noiseOfStretch,
  RealFft,
} from "../../src/spectrum/index.ts";
import { makeRandom } from "../support/synthetic/index.ts";
import { addNoise, type NoiseColour, noiseVarianceAt } from "../support/synthetic/noise.ts";

const RATE_HZ = 48000;
const WHITE: NoiseColour = { sd: 0.01, zero: 0, pole: 0 };
/** Some 24 dB louder at the bottom than at the top. */
const FALLING: NoiseColour = { sd: 0.01, zero: 0.5, pole: 0.95 };

function samplesOf(colour: NoiseColour, count: number, seed: number): Float64Array {
  const samples = new Float64Array(count);
  addNoise(samples, colour, makeRandom(seed));
  return samples;
}

function addTone(samples: Float64Array, frequencyHz: number, amplitude: number): void {
  for (let n = 0; n < samples.length; n++) {
    samples[n] += amplitude * Math.sin((2 * Math.PI * frequencyHz * n) / RATE_HZ);
  }
}

function residualNoise(samples: Float64Array, floor: number): NoiseSpectrum {
  const size = samples.length;
  const re = new Float64Array(size / 2 + 1);
  const im = new Float64Array(size / 2 + 1);
  new RealFft(size).forward(samples, 0, re, im);
  return noiseOfResidual(re, im, size, RATE_HZ, floor);
}

/** Least and largest true variance within a window about a frequency. */
function rangeAround(colour: NoiseColour, frequencyHz: number, halfHz: number): [number, number] {
  const values = [-1, -0.5, 0, 0.5, 1].map((part) => {
    const f = Math.min(Math.max(frequencyHz + part * halfHz, 0), RATE_HZ / 2);
    return noiseVarianceAt(colour, f, RATE_HZ);
  });
  return [Math.min(...values), Math.max(...values)];
}

/** Every centre within `sds` relative standard deviations of the truth in its window, and `bias` below it at the most. */
function expectNear(
  noise: NoiseSpectrum,
  colour: NoiseColour,
  halfOf: (f: number) => number,
  relativeSd: (f: number) => number,
  bias: number,
): void {
  // 80 centres, so four and a half deviations: passed by chance once in a thousand seeds.
  const sds = 4.5;
  noise.centresHz.forEach((f, i) => {
    const [least, most] = rangeAround(colour, f, halfOf(f));
    const { [i]: found } = noise.variance;
    expect(found / least, `${f.toFixed(0)} Hz`).toBeGreaterThan(1 - bias - sds * relativeSd(f));
    expect(found / most, `${f.toFixed(0)} Hz`).toBeLessThan(1 + bias + sds * relativeSd(f));
  });
}

/**
 * Of noiseOfStretch: K Hann blocks of 2048 at half overlap average a bin to a relative variance of 1.056/K (Welch 1967: 1/36
 * of a block's power is shared with the next); the median over m bins, of which Hann makes 1.9 (its noise bandwidth 1.5,
 * correlated on both sides) count as one, has 1.2533 times the deviation of their mean.
 */
const BLOCK = 2048;
const stretchHalf = (f: number) => Math.max(60, 0.08 * f);
const stretchSd = (blocks: number) => (f: number) => {
  const bins =
    (Math.min(f + stretchHalf(f), RATE_HZ / 2) - Math.max(0, f - stretchHalf(f))) / (RATE_HZ / BLOCK);
  return 1.2533 * Math.sqrt((1.056 / blocks) * (1.9 / Math.max(1.9, bins)));
};
/** The median of a gamma law of shape K lies 1/(3 K) below its mean. */
const gammaBias = (blocks: number) => 1 / (3 * blocks);

/** Of noiseOfResidual: the median of m unit exponentials has the deviation 1/sqrt(m), over ln 2. m is 1024 at the most. */
const residualHalf = (size: number) => (f: number) => Math.max(20, 0.06 * f, (32 * RATE_HZ) / size);
const residualSd = (size: number) => (f: number) => {
  const half = residualHalf(size)(f);
  const bins = (Math.min(f + half, RATE_HZ / 2) - Math.max(0, f - half)) / (RATE_HZ / size);
  // Thinning a wide window leaves 512 bins at least.
  return 1 / Math.LN2 / Math.sqrt(bins > 1024 ? 512 : bins);
};

describe("noiseOfStretch", () => {
  it("noiseOfStretch(no samples, or digital silence) is the floor", () => {
    const floor = 2 ** -30 / 12;
    const silence = new Float64Array(10_000);
    for (const [start, end] of [
      [0, 0],
      [500, 100],
      [0, 200],
      [0, 10_000],
    ]) {
      const { variance } = noiseOfStretch(silence, start, end, RATE_HZ, floor);
      expect(variance.every((v) => v === floor)).toBe(true);
    }
  });

  it.each([
    ["white", WHITE],
    ["falling", FALLING],
  ])("noiseOfStretch(%s noise) is its density, within the deviation of a median of averages", (_, colour) => {
    const blocks = 39;
    const samples = samplesOf(colour, (BLOCK * (blocks + 1)) / 2, 1);
    const noise = noiseOfStretch(samples, 0, samples.length, RATE_HZ, 0);
    expectNear(noise, colour, stretchHalf, stretchSd(blocks), gammaBias(blocks));
  });

  it("noiseOfStretch(a short stretch) takes shorter blocks and is still unbiased", () => {
    // Mean over the upper half of the band and 200 stretches of 1,000 samples: blocks of 256, six of them.
    let sum = 0;
    let count = 0;
    for (let seed = 0; seed < 200; seed++) {
      const noise = noiseOfStretch(samplesOf(WHITE, 1000, seed), 0, 1000, RATE_HZ, 0);
      for (let i = 60; i < 80; i++) {
        sum += noise.variance[i] / WHITE.sd ** 2;
        count++;
      }
    }
    // Bias 1/18 of the median; some 15 independent estimates a stretch of deviation 0.3.
    const mean = sum / count;
    expect(mean).toBeGreaterThan(1 - 1 / 18 - 0.02);
    expect(mean).toBeLessThan(1.02);
  });

  it("noiseOfStretch(noise with a steady tone) is not lifted by the tone", () => {
    const blocks = 39;
    const samples = samplesOf(WHITE, (BLOCK * (blocks + 1)) / 2, 2);
    addTone(samples, 6000, 3 * WHITE.sd);
    const noise = noiseOfStretch(samples, 0, samples.length, RATE_HZ, 0);
    // Half of the bins but eight, which the tone fills, of a window of 40: the quantile .5 becomes .5 (1 + 8/40).
    const lifted = 0.2 * Math.sqrt(1.056 / blocks) * 1.2533;
    noise.centresHz.forEach((f, i) => {
      if (Math.abs(f - 6000) > 500) return;
      expect(noise.variance[i] / WHITE.sd ** 2).toBeLessThan(1 + lifted + 4.5 * stretchSd(blocks)(f));
    });
  });
});

describe("noiseOfResidual", () => {
  it("noiseOfResidual(silence) is the floor", () => {
    const floor = 2 ** -30 / 12;
    const { variance } = residualNoise(new Float64Array(4096), floor);
    expect(variance.every((v) => v === floor)).toBe(true);
  });

  it.each([
    ["white", WHITE, 2 ** 17],
    ["falling", FALLING, 2 ** 17],
    ["white", WHITE, 2 ** 12],
  ])(
    "noiseOfResidual(%s noise) is its density, within the deviation of a median of exponentials",
    (_, colour, size) => {
      const noise = residualNoise(samplesOf(colour, size, 3), 0);
      expectNear(noise, colour, residualHalf(size), residualSd(size), 0);
    },
  );

  it("noiseOfResidual(noise with a steady tone) is not lifted by the tone", () => {
    const size = 2 ** 16;
    const samples = samplesOf(WHITE, size, 4);
    // On a bin, as a line that was taken off leaves no skirts.
    addTone(samples, (1000 * RATE_HZ) / size, 100 * WHITE.sd);
    expectNear(residualNoise(samples, 0), WHITE, residualHalf(size), residualSd(size), 0);
  });
});

describe("noiseAt", () => {
  const noise: NoiseSpectrum = {
    centresHz: noiseCentresHz(RATE_HZ),
    variance: Float64Array.from({ length: 80 }, (_, i) => 1 + i * i),
  };

  it("noiseAt(noise, beyond the centres) is flat", () => {
    expect(noiseAt(noise, Number.NEGATIVE_INFINITY)).toBe(1);
    expect(noiseAt(noise, 0)).toBe(1);
    expect(noiseAt(noise, noise.centresHz[0])).toBe(1);
    expect(noiseAt(noise, RATE_HZ)).toBe(1 + 79 * 79);
    expect(noiseAt(noise, Number.POSITIVE_INFINITY)).toBe(1 + 79 * 79);
  });

  it("noiseAt(noise, f) is linear between the centres and exact at them", () => {
    for (let i = 0; i < 79; i++) {
      const [a, b] = [noise.centresHz[i], noise.centresHz[i + 1]];
      for (const t of [0, 0.25, 0.5, 0.99]) {
        const expected = noise.variance[i] + t * (noise.variance[i + 1] - noise.variance[i]);
        // The interval is found by a logarithm: at a centre it may be the one below, whose line ends there.
        expect(Math.abs(noiseAt(noise, a + t * (b - a)) / expected - 1)).toBeLessThan(1e-12);
      }
    }
  });
});

describe("noiseCentresHz", () => {
  it("noiseCentresHz(rate) ascends evenly in the logarithm from 20 Hz to half the sample rate", () => {
    for (const rate of [8000, 44100, 192_000]) {
      const centres = noiseCentresHz(rate);
      expect(centres[0]).toBeCloseTo(20, 9);
      expect(centres[79]).toBeCloseTo(rate / 2, 6);
      const ratio = (rate / 40) ** (1 / 79);
      for (let i = 1; i < 80; i++) expect(centres[i] / centres[i - 1] / ratio).toBeCloseTo(1, 9);
    }
  });
});
