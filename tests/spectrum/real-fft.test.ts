import { describe, expect, it } from "vitest";
import { largestSizeWithin, RealFft } from "../../src/spectrum/index.ts";
import { makeRandom } from "../support/synthetic/index.ts";

/** Unit roundoff of a double. */
const ROUNDOFF = 2 ** -53;
const ODD_FACTORS = [1, 3, 5, 9, 15];

interface Spectrum {
  re: Float64Array;
  im: Float64Array;
}

function transform(x: ArrayLike<number>, size: number, offset = 0): Spectrum {
  const re = new Float64Array(size / 2 + 1);
  const im = new Float64Array(size / 2 + 1);
  new RealFft(size).forward(x, offset, re, im);
  return { re, im };
}

/** The definition; the angle is reduced in whole numbers, so that only the last sum rounds. */
function naive(x: ArrayLike<number>, size: number): Spectrum {
  const re = new Float64Array(size / 2 + 1);
  const im = new Float64Array(size / 2 + 1);
  const places = Array.from({ length: size }, (_, n) => n).filter((n) => x[n] !== 0);
  for (let k = 0; k <= size / 2; k++) {
    for (const n of places) {
      const angle = (-2 * Math.PI * ((k * n) % size)) / size;
      re[k] += x[n] * Math.cos(angle);
      im[k] += x[n] * Math.sin(angle);
    }
  }
  return { re, im };
}

const noise = (size: number, seed: number): Float64Array => {
  const random = makeRandom(seed);
  return Float64Array.from({ length: size }, () => random.normal());
};

/** Energy over all bins, those at negative frequency with it. */
function energy({ re, im }: Spectrum): number {
  const last = re.length - 1;
  let sum = 0;
  for (let k = 0; k <= last; k++) sum += (k === 0 || k === last ? 1 : 2) * (re[k] ** 2 + im[k] ** 2);
  return sum;
}

const difference = (a: Spectrum, b: Spectrum): Spectrum => ({
  re: a.re.map((x, k) => x - b.re[k]),
  im: a.im.map((x, k) => x - b.im[k]),
});

/**
 * Bound of the relative error in the 2-norm: log2 N stages of under 8 roundoffs each (Higham, Accuracy and Stability of
 * Numerical Algorithms, 2nd ed., theorem 24.2); joining a odd parts adds the recurrence of its twiddles, restarted every
 * 256 bins, at most 2 roundoffs a step, to the power a - 1.
 */
const errorBound = (size: number, factor: number): number =>
  ROUNDOFF * (8 * Math.log2(size) + (factor > 1 ? 2 * 256 * (factor - 1) : 0));

describe("RealFft", () => {
  it.each([0, 1, 2, 3, 6, 7, 14, 28, 44, 60.5, -8, Number.NaN, Number.POSITIVE_INFINITY])(
    "RealFft(%d) refuses a size that is not a * 2^k with a in 1, 3, 5, 9, 15 and 2^k at least 4",
    (size) => {
      expect(() => new RealFft(size)).toThrow(RangeError);
    },
  );

  it("RealFft.forward(x) is the discrete Fourier transform by its definition, for every factor", () => {
    for (const factor of ODD_FACTORS) {
      for (const power of [4, 8, 16, 64, 128]) {
        const size = factor * power;
        const x = noise(size, size);
        const expected = naive(x, size);
        const error = energy(difference(transform(x, size), expected));
        // The definition itself sums N terms: N roundoffs at most.
        const bound = errorBound(size, factor) + size * ROUNDOFF;
        expect(Math.sqrt(error / energy(expected)), `size ${size}`).toBeLessThan(bound);
      }
    }
  });

  it("RealFft.forward(a few impulses) errs by less than the bound on long transforms", () => {
    // Impulses have an exact spectrum, one rounded cosine each.
    for (const size of [2 ** 17, 3 * 2 ** 15, 5 * 2 ** 14, 9 * 2 ** 13, 15 * 2 ** 13]) {
      const factor = ODD_FACTORS.findLast((a) => size % a === 0) ?? 1;
      const random = makeRandom(size);
      const x = new Float64Array(size);
      for (let i = 0; i < 5; i++) x[random.integer(0, size - 1)] = random.integer(-9, 9) || 1;
      const result = transform(x, size);
      const expected = naive(x, size);
      const error = energy(difference(result, expected)) / energy(expected);
      expect(Math.sqrt(error), `size ${size}`).toBeLessThan(errorBound(size, factor));
    }
  });

  it("RealFft.forward(x) keeps the energy (Parseval)", () => {
    for (const size of [1024, 3 * 512, 5 * 256, 9 * 128, 15 * 64]) {
      const x = noise(size, 7);
      const own = x.reduce((sum, v) => sum + v * v, 0);
      // Twice the relative error of the amplitudes, and the sums' own rounding.
      const bound = 2 * errorBound(size, 15) + 2 * size * ROUNDOFF;
      expect(Math.abs(energy(transform(x, size)) / size / own - 1)).toBeLessThan(bound);
    }
  });

  it("RealFft.forward(a x + b y) is a X + b Y", () => {
    const size = 9 * 64;
    const [x, y] = [noise(size, 1), noise(size, 2)];
    const [a, b] = [0.3, -7];
    const sum = transform(
      x.map((v, n) => a * v + b * y[n]),
      size,
    );
    const [of_x, of_y] = [transform(x, size), transform(y, size)];
    const expected = {
      re: of_x.re.map((v, k) => a * v + b * of_y.re[k]),
      im: of_x.im.map((v, k) => a * v + b * of_y.im[k]),
    };
    const error = Math.sqrt(energy(difference(sum, expected)) / energy(expected));
    expect(error).toBeLessThan(3 * errorBound(size, 9));
  });

  it("RealFft.forward(x, offset) transforms the samples from offset on, and the same plan can be used again", () => {
    const size = 96;
    const x = noise(300, 3);
    const fft = new RealFft(size);
    const again = { re: new Float64Array(49), im: new Float64Array(49) };
    fft.forward(noise(size, 4), 0, again.re, again.im);
    fft.forward(x, 101, again.re, again.im);
    expect(again).toEqual(transform(x.slice(101, 101 + size), size));
  });

  it("RealFft.forward(silence) is silence", () => {
    const { re, im } = transform(new Float64Array(240), 240);
    expect([...re, ...im].every((v) => v === 0)).toBe(true);
  });
});

describe("largestSizeWithin", () => {
  it("largestSizeWithin(fewer than 128 samples, or no number) is 0", () => {
    for (const samples of [Number.NaN, -1, 0, 1, 64, 96, 127, 127.9]) {
      expect(largestSizeWithin(samples), `${samples}`).toBe(0);
    }
  });

  it("largestSizeWithin(n) is a size that RealFft takes, the largest of at least 64 times an odd factor", () => {
    const sizes = ODD_FACTORS.flatMap((a) => Array.from({ length: 8 }, (_, i) => a * 2 ** (i + 6)))
      .filter((size) => size >= 128)
      .sort((a, b) => a - b);
    for (let n = 128; n < 8000; n++) {
      const size = largestSizeWithin(n);
      expect(size).toBe(sizes.findLast((s) => s <= n));
    }
    for (const size of sizes.filter((s) => s < 8000)) expect(new RealFft(size).size).toBe(size);
  });

  it("largestSizeWithin(n) leaves at most a fifth of the record unused", () => {
    // Neighbouring sizes: 8, 9, 10, 12, 15, 16 times a power of two; 12/15 is the widest step.
    for (let n = 2000; n < 500_000; n = Math.ceil(n * 1.013)) {
      expect(largestSizeWithin(n) / n).toBeGreaterThan(0.8);
    }
  });
});
