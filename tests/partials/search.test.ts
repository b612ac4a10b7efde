import { describe, expect, it } from "vitest";
import { BinSteps, isHeard, isOpen, levelFor, newSearch } from "../../src/partials/search.ts";

/** A search over transforms of these lengths; their bins are never looked at. */
const searchOver = (sampleRateHz: number, sizes: number[]) =>
  newSearch(
    sampleRateHz,
    sizes.map((size) => ({ size, re: [], im: [] })),
    [],
    0,
    0,
  );

describe("levelFor", () => {
  // Transforms of 64, 16 and 4 s.
  const search = searchOver(1024, [65_536, 16_384, 4096]);

  it.each([
    [0, 0],
    [0.125, 0],
    [0.499, 0],
    [0.5, 1],
    [1.99, 1],
    [2, 2],
    [1e4, 2],
  ])(
    "levelFor(a decay rate of %d /s) is the shortest transform of eight decay constants: step %d",
    (alpha, level) => {
      expect(levelFor(search, alpha, 1)).toBe(level);
    },
  );

  it("levelFor(no decay at all) counts as a thousandth a second: a transform of 8000 s holds it", () => {
    expect(levelFor(searchOver(1, [32_768, 16_384, 4096]), 0, 1)).toBe(1);
  });
});

describe("isOpen", () => {
  // Transforms of 64, 16 and 4 s, of which the recorder lets 20 s through at 1 rad/s and 2 s at 2 rad/s.
  const search = searchOver(1024, [65_536, 16_384, 4096]);
  search.passing = { noise: [], openS: (omega) => (omega === 1 ? 20 : 2) };

  it("isOpen is true of a transform that ends before the band closes, and always of the shortest", () => {
    expect([0, 1, 2].map((level) => isOpen(search, level, 1))).toEqual([false, true, true]);
    expect([0, 1, 2].map((level) => isOpen(search, level, 2))).toEqual([false, false, true]);
  });

  it("isHeard is true of what is let through for as long as the shortest transform lasts, and of all where nothing closes", () => {
    const shortestS = search.ladder[2].size / search.sampleRateHz;
    search.passing = { noise: [], openS: (omega) => (omega === 1 ? shortestS : 0.999 * shortestS) };
    expect([1, 2].map((omega) => isHeard(search, omega))).toEqual([true, false]);
    search.passing = { noise: [], openS: (omega) => (omega === 1 ? 20 : 2) };
    expect(isHeard(searchOver(1024, [65_536, 4096]), 1)).toBe(true);
  });

  it("isOpen is true of every transform where nothing closes", () => {
    expect(isOpen(searchOver(1024, [65_536, 4096]), 0, 1)).toBe(true);
  });

  it("levelFor takes the longest open transform where the one that holds the decay is cut", () => {
    expect([1, 2].map((omega) => levelFor(search, 0.01, omega))).toEqual([1, 2]);
    expect(levelFor(search, 3, 1)).toBe(2);
  });
});

describe("BinSteps", () => {
  it("BinSteps is exp(-j w) at every bin that was asked for, to the rounding of 64 turns", () => {
    for (const size of [1024, 256, 3 * 128]) {
      const steps = new BinSteps(size);
      // In pieces, out of order and over the ends.
      steps.ensure(100, size);
      steps.ensure(-5, 101);
      const { re, im } = steps;
      expect(re.length).toBe(size / 2 + 1);
      let worst = 0;
      for (let k = 0; k <= size / 2; k++) {
        const angle = (2 * Math.PI * k) / size;
        worst = Math.max(worst, Math.abs(re[k] - Math.cos(angle)), Math.abs(im[k] + Math.sin(angle)));
      }
      // A complex product rounds by less than 4 units of 2^-53 a turn.
      expect(worst).toBeLessThan(64 * 4 * 2 ** -53);
    }
  });

  it("BinSteps(nothing asked for) works nothing out", () => {
    const steps = new BinSteps(256);
    steps.ensure(70, 70);
    steps.ensure(129, 40);
    expect(steps.re.every((x) => x === 0)).toBe(true);
    steps.ensure(70, 71);
    expect(steps.re[70]).toBeCloseTo(Math.cos((2 * Math.PI * 70) / 256), 14);
    expect(steps.re[10]).toBe(0);
  });
});

describe("newSearch", () => {
  it("newSearch knows nothing yet, may grow, and takes the noise given for that of every transform", () => {
    const noise = [{ centresHz: Float64Array.of(1), variance: Float64Array.of(2) }];
    const step = { size: 256, re: [], im: [] };
    const search = newSearch(8000, [step, step], noise, 3, 4);
    expect(search.noise).toEqual([noise, noise]);
    expect(search).toMatchObject({ lines: [], residual: [], growing: true, noiseFloor: 3, misfit: 4 });
  });
});
