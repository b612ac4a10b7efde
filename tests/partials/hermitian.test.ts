import { describe, expect, it } from "vitest";
import { choleskyInPlace, choleskySolve } from "../../src/partials/hermitian.ts";
import { makeRandom, type Random } from "../support/synthetic/index.ts";

interface Matrix {
  re: Float64Array;
  im: Float64Array;
}

/** B^H B of a random square B, and a unit diagonal on top: positive definite, condition some n^2. */
function randomMatrix(n: number, random: Random): Matrix {
  const bRe = Float64Array.from({ length: n * n }, () => random.normal());
  const bIm = Float64Array.from({ length: n * n }, () => random.normal());
  const re = new Float64Array(n * n);
  const im = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) {
      for (let k = 0; k < n; k++) {
        const [a, b] = [k * n + i, k * n + j];
        re[i * n + j] += bRe[a] * bRe[b] + bIm[a] * bIm[b];
        im[i * n + j] += bRe[a] * bIm[b] - bIm[a] * bRe[b];
      }
    }
    re[i * n + i] += 1;
  }
  return { re, im };
}

function product({ re, im }: Matrix, n: number, x: Matrix): Matrix {
  const out = { re: new Float64Array(n), im: new Float64Array(n) };
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) {
      out.re[i] += re[i * n + j] * x.re[j] - im[i * n + j] * x.im[j];
      out.im[i] += re[i * n + j] * x.im[j] + im[i * n + j] * x.re[j];
    }
  }
  return out;
}

const copy = ({ re, im }: Matrix): Matrix => ({ re: re.slice(), im: im.slice() });

/** n multiplications and sums a value, condition n^2 at the most, with a margin of ten. */
const tolerance = (n: number) => 10 * n ** 3 * 2 ** -53;

describe("choleskyInPlace", () => {
  it("choleskyInPlace(NaN, infinite, zero, indefinite or singular) is false", () => {
    const factor = (re: number[], im: number[], n: number) =>
      choleskyInPlace(Float64Array.from(re), Float64Array.from(im), n);
    expect(factor([Number.NaN], [0], 1)).toBe(false);
    expect(factor([0], [0], 1)).toBe(false);
    expect(factor([-1], [0], 1)).toBe(false);
    expect(factor([1, 2, 2, 1], [0, 0, 0, 0], 2)).toBe(false);
    expect(factor([1, 0, 0, 1], [0, 1, -1, 0], 2)).toBe(false);
    expect(factor([1, 0.5, 0.5, Number.POSITIVE_INFINITY], [0, 0, 0, 0], 2)).toBe(false);
  });

  it("choleskyInPlace(no rows) has nothing to refuse", () => {
    expect(choleskyInPlace(new Float64Array(0), new Float64Array(0), 0)).toBe(true);
  });

  it("choleskyInPlace(H) is the lower factor L of H = L L^H", () => {
    for (const n of [1, 2, 3, 8]) {
      const matrix = randomMatrix(n, makeRandom(n));
      const l = copy(matrix);
      expect(choleskyInPlace(l.re, l.im, n)).toBe(true);
      for (let i = 0; i < n; i++) {
        for (let j = 0; j <= i; j++) {
          let [re, im] = [0, 0];
          for (let k = 0; k <= j; k++) {
            const [a, b] = [i * n + k, j * n + k];
            re += l.re[a] * l.re[b] + l.im[a] * l.im[b];
            im += l.im[a] * l.re[b] - l.re[a] * l.im[b];
          }
          const scale = Math.sqrt(matrix.re[i * n + i] * matrix.re[j * n + j]);
          expect(Math.abs(re - matrix.re[i * n + j]) / scale).toBeLessThan(tolerance(n));
          expect(Math.abs(im - matrix.im[i * n + j]) / scale).toBeLessThan(tolerance(n));
        }
      }
    }
  });
});

describe("choleskySolve", () => {
  it("choleskySolve(L, b) solves L L^H x = b", () => {
    for (const n of [1, 2, 5, 8]) {
      const random = makeRandom(10 + n);
      const matrix = randomMatrix(n, random);
      const x = {
        re: Float64Array.from({ length: n }, () => random.normal()),
        im: Float64Array.from({ length: n }, () => random.normal()),
      };
      const b = product(matrix, n, x);
      const l = copy(matrix);
      choleskyInPlace(l.re, l.im, n);
      choleskySolve(l.re, l.im, n, b.re, b.im);
      for (let i = 0; i < n; i++) {
        expect(Math.abs(b.re[i] - x.re[i])).toBeLessThan(100 * tolerance(n));
        expect(Math.abs(b.im[i] - x.im[i])).toBeLessThan(100 * tolerance(n));
      }
    }
  });
});
