import { describe, expect, it } from "vitest";
import { firstGlides } from "../../src/partials/first-glide.ts";
import { glideDelayS } from "../../src/partials/glide.ts";
import { makeRandom } from "../support/synthetic/index.ts";

const STEP_S = 0.02;
const COUNT = 128;
const TIME_S = Float64Array.from({ length: COUNT }, (_, i) => 0.01 + i * STEP_S);

interface Plan {
  frequencyHz: number;
  alpha: number;
  /** Phase, less that of the carrier. */
  phase: (t: number) => number;
}

/** A decay of unit amplitude and half of it in two channels, with phases of their own. */
function valuesOf({ frequencyHz, alpha, phase }: Plan) {
  const part = (amplitude: number, turn: number, of: (x: number) => number) =>
    TIME_S.map((t) => amplitude * Math.exp(-alpha * t) * of(phase(t) + turn));
  return {
    omega: 2 * Math.PI * frequencyHz,
    timeS: TIME_S,
    re: [part(1, 0.3, Math.cos), part(0.5, 2, Math.cos)],
    im: [part(1, 0.3, Math.sin), part(0.5, 2, Math.sin)],
  };
}

/** A line beside the carrier that glides. */
const gliding = (
  frequencyHz: number,
  alpha: number,
  offsetHz: number,
  amount: number,
  timeConstantS: number,
): Plan => ({
  frequencyHz,
  alpha,
  phase: (t) =>
    2 * Math.PI * (offsetHz * t + (frequencyHz + offsetHz) * glideDelayS({ amount, timeConstantS }, t)),
});

/** A line whose frequency is moved by the same law, and by noise. */
function noisy(frequencyHz: number, alpha: number, amount: number, jitter: number, seed: number): Plan {
  const random = makeRandom(seed);
  const moves = new Map([...TIME_S].map((t) => [t, jitter * random.normal()]));
  const { phase } = gliding(frequencyHz, alpha, 0.2, amount, 0.2);
  return { frequencyHz, alpha, phase: (t) => phase(t) + moves.get(t)! };
}

/** What is left over of a band's frequency, weighed by its amplitude, by a glide and a frequency of its own. */
function leftOf({ frequencyHz, alpha, phase }: Plan, amount: number, timeConstantS: number): number {
  const rows = Array.from({ length: COUNT - 1 }, (_, i) => {
    const [from, to] = [TIME_S[i], TIME_S[i + 1]];
    return {
      // Root of the product of two amplitudes.
      w: Math.exp((-alpha * (from + to)) / 2),
      y:
        (phase(to) - phase(from)) / (2 * Math.PI * frequencyHz * (to - from)) -
        amount * Math.exp(-(from + to) / 2 / timeConstantS),
    };
  });
  const total = rows.reduce((sum, { w }) => sum + w, 0);
  const mean = rows.reduce((sum, { w, y }) => sum + w * y, 0) / total;
  return rows.reduce((sum, { w, y }) => sum + w * (y - mean) ** 2, 0) / total;
}

const TRIED_S = [0.04, 0.07, 0.12, 0.2, 0.35, 0.6, 1, 1.7];

describe("firstGlides", () => {
  it("firstGlides(bands that glide alike) has the glide first, whatever each band's own frequency", () => {
    const bands = [
      gliding(400, 1, 0.5, 0.003, 0.35),
      gliding(900, 3, -1, 0.003, 0.35),
      gliding(2000, 5, 2, 0.003, 0.35),
    ];
    const [first, ...others] = firstGlides(bands.map(valuesOf));
    expect(first.timeConstantS).toBe(0.35);
    // The mean of exp(-t / 0.35) over a step is that of its middle to (0.02 / 0.35)^2 / 24, and each band's line lies up to 0.25 % off its carrier.
    expect(first.amount / 0.003).toBeCloseTo(1, 2);
    expect(others.map((glide) => glide.timeConstantS).sort((a, b) => a - b)).toEqual(
      TRIED_S.filter((t) => t !== 0.35),
    );
  });

  it("firstGlides(one band) has for every time constant the weighed least squares, best first", () => {
    const band = noisy(700, 2, 0.004, 0.02, 1);
    const glides = firstGlides([valuesOf(band)]);
    const left = glides.map(({ amount, timeConstantS }) => {
      const at = leftOf(band, amount, timeConstantS);
      // The least of a parabola: as high on either side, and higher than between.
      const step = 0.1 * Math.abs(amount);
      const [below, above] = [amount - step, amount + step].map((a) => leftOf(band, a, timeConstantS));
      expect(below).toBeGreaterThan(at);
      expect((above - below) / (above + below - 2 * at)).toBeCloseTo(0, 6);
      return at;
    });
    expect(left).toEqual(left.toSorted((a, b) => a - b));
  });

  it("firstGlides(bands of unlike quiet) minimises the sum of the logarithms of what they leave, best first", () => {
    const bands = [
      noisy(400, 1, 0.003, 0.02, 1),
      noisy(900, 2, 0.003, 0.05, 2),
      noisy(1500, 3, -0.002, 0.8, 3),
    ];
    const sumOf = (amount: number, timeConstantS: number) =>
      bands.reduce((sum, band) => sum + Math.log(leftOf(band, amount, timeConstantS)), 0);
    const glides = firstGlides(bands.map(valuesOf));
    const sums = glides.map(({ amount, timeConstantS }) => sumOf(amount, timeConstantS));
    expect(sums).toEqual(sums.toSorted((a, b) => a - b));
    const { amount, timeConstantS } = glides[0];
    for (const step of [-0.02, 0.02])
      expect(sumOf(amount * (1 + step), timeConstantS)).toBeGreaterThan(sums[0]);
  });

  it("firstGlides(steady bands) has no amount", () => {
    for (const { amount } of firstGlides([
      valuesOf(gliding(400, 1, 0.5, 0, 1)),
      valuesOf(gliding(700, 1, 0.2, 0, 1)),
    ])) {
      expect(Math.abs(amount)).toBeLessThan(1e-12);
    }
  });
});
