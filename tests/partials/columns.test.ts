import { describe, expect, it } from "vitest";
import { type Column, tangentBasis, whitenedOff } from "../../src/partials/columns.ts";
import { makeRandom } from "../support/synthetic/index.ts";
import { bandOfPlan, PLAN, polesOfLines } from "./bands.ts";

const POLES = polesOfLines([
  { frequencyHz: 999.2, alpha: 4 },
  { frequencyHz: 1001.1, alpha: 6 },
]);

/** A band of 41 bins whose two channels are weighed unlike, and unlike from bin to bin. */
function weighedBand() {
  const random = makeRandom(1);
  const band = bandOfPlan({ ...PLAN, from: 1980, to: 2020, channels: 2, noise: [1e-6, 4e-6] });
  for (const { weight } of band.channels)
    for (let i = 0; i < weight.length; i++) weight[i] *= random.between(0.5, 2);
  return band;
}

function randomColumn(n: number, seed: number): Column {
  const random = makeRandom(seed);
  return {
    re: Float64Array.from({ length: n }, random.normal),
    im: Float64Array.from({ length: n }, random.normal),
  };
}

/** <u, v> = sum of conj(u) v. */
function product(u: Column, v: Column): [number, number] {
  let [re, im] = [0, 0];
  for (let i = 0; i < u.re.length; i++) {
    re += u.re[i] * v.re[i] + u.im[i] * v.im[i];
    im += u.re[i] * v.im[i] - u.im[i] * v.re[i];
  }
  return [re, im];
}

const sizeOf = (u: Column): number => Math.sqrt(product(u, u)[0]);
const cosine = (u: Column, v: Column): number => Math.hypot(...product(u, v)) / (sizeOf(u) * sizeOf(v));
const minus = (u: Column, v: Column): Column => ({
  re: u.re.map((x, i) => x - v.re[i]),
  im: u.im.map((x, i) => x - v.im[i]),
});

describe("tangentBasis", () => {
  it("tangentBasis(poles) is orthonormal, of a constant and two columns a pole", () => {
    const band = weighedBand();
    for (const c of [0, 1]) {
      const basis = tangentBasis(band, c, POLES);
      expect(basis.length).toBe(5);
      for (const [k, u] of basis.entries()) {
        for (const [l, v] of basis.entries()) {
          const [re, im] = product(u, v);
          expect(re).toBeCloseTo(k === l ? 1 : 0, 13);
          expect(im).toBeCloseTo(0, 13);
        }
      }
    }
  });

  it("tangentBasis(poles) spans the weighed constant, 1 / (1 - z e^(-jw)) and its change with the pole", () => {
    const band = weighedBand();
    const { weight } = band.channels[1];
    const basis = tangentBasis(band, 1, POLES);
    // A line of unit amplitude, from its sum over the samples in closed form.
    const lineAt = (alpha: number, omega: number): Column => {
      const re = new Float64Array(band.count);
      const im = new Float64Array(band.count);
      for (let i = 0; i < band.count; i++) {
        const angle = (omega - band.omega[i]) / band.sampleRateHz;
        const a = 1 - Math.exp(-alpha / band.sampleRateHz) * Math.cos(angle);
        const b = -Math.exp(-alpha / band.sampleRateHz) * Math.sin(angle);
        re[i] = a / (a * a + b * b);
        im[i] = -b / (a * a + b * b);
      }
      return { re, im };
    };
    const inside: Column[] = [{ re: new Float64Array(band.count).fill(1), im: new Float64Array(band.count) }];
    for (const j of [0, 1]) {
      const [alpha, omega] = [POLES.alpha[j], POLES.omega[j]];
      const h = 1e-3;
      inside.push(lineAt(alpha, omega));
      inside.push(minus(lineAt(alpha + h, omega), lineAt(alpha - h, omega)));
      inside.push(minus(lineAt(alpha, omega + h), lineAt(alpha, omega - h)));
    }
    for (const { re, im } of inside) {
      const before = { re: re.map((x, i) => x * weight[i]), im: im.map((x, i) => x * weight[i]) };
      const left = sizeOf(whitenedOff(basis, re, im, weight)) / sizeOf(before);
      // Central differences: h^2 f''' / 6 is (h / alpha)^2 of f', 6e-8.
      expect(left).toBeLessThan(1e-6);
    }
  });

  it("tangentBasis(bins that weigh nothing) is empty", () => {
    const band = weighedBand();
    band.channels[0].weight.fill(0);
    expect(tangentBasis(band, 0, POLES)).toEqual([]);
  });
});

describe("whitenedOff", () => {
  it("whitenedOff(basis) parts a weighed column into what is orthogonal to the basis and what lies within it", () => {
    const band = weighedBand();
    const { weight } = band.channels[0];
    const basis = tangentBasis(band, 0, POLES);
    const { re, im } = randomColumn(band.count, 2);
    const weighed = { re: re.map((x, i) => x * weight[i]), im: im.map((x, i) => x * weight[i]) };
    const rest = whitenedOff(basis, re, im, weight);
    const within = minus(weighed, rest);
    for (const q of basis) expect(cosine(q, rest)).toBeLessThan(1e-13);
    const other = randomColumn(band.count, 3);
    const apart = whitenedOff(basis, other.re, other.im, weight);
    expect(cosine(apart, within)).toBeLessThan(1e-13);
    expect(rest.re).toBe(re);
    expect(rest.im).toBe(im);
  });

  it("whitenedOff(no basis) only weighs", () => {
    const rest = whitenedOff([], Float64Array.of(1, 2), Float64Array.of(3, 4), Float64Array.of(10, 0.5));
    expect(rest).toEqual({ re: Float64Array.of(10, 1), im: Float64Array.of(30, 2) });
  });
});
