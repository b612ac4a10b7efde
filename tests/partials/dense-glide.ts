import { type Baseband, transformed } from "../../src/partials/baseband.ts";
import type { GlideFit } from "../../src/partials/fit-glide.ts";
import { type Glide, glideDelayS } from "../../src/partials/glide.ts";

/** Least squares over a whole band, written out, to hold the fit of a glide against. */

export interface Complex {
  re: Float64Array;
  im: Float64Array;
}
export const dot = (u: Complex, v: Complex): [number, number] => {
  let [re, im] = [0, 0];
  for (let i = 0; i < u.re.length; i++) {
    re += u.re[i] * v.re[i] + u.im[i] * v.im[i];
    im += u.re[i] * v.im[i] - u.im[i] * v.re[i];
  }
  return [re, im];
};

/** What is left of a column when others are taken off by least squares: Gram-Schmidt, each of them cleared twice. */
export function offAll(others: Complex[], column: Complex): Complex {
  const basis: Complex[] = [];
  const clear = ({ re, im }: Complex): Complex => {
    const out = { re: re.slice(), im: im.slice() };
    for (const q of [...basis, ...basis]) {
      const [a, b] = dot(q, out);
      for (let i = 0; i < re.length; i++) {
        out.re[i] -= a * q.re[i] - b * q.im[i];
        out.im[i] -= a * q.im[i] + b * q.re[i];
      }
    }
    return out;
  };
  for (const other of others) {
    const rest = clear(other);
    const norm = Math.sqrt(dot(rest, rest)[0]);
    basis.push({ re: rest.re.map((x) => x / norm), im: rest.im.map((x) => x / norm) });
  }
  return clear(column);
}

/** Whitened bins of a band with a glide off, and the columns of its lines and of their change with the pole, by differences. */
export function linearised(base: Baseband, c: number, { glide, poles }: GlideFit, k: number) {
  const { band, omega, timeS, variance } = base;
  const weight = variance[c].map((v) => 1 / Math.sqrt(v));
  const bins = (g: Glide): Complex => {
    const turns = timeS.map((t) => -omega * glideDelayS(g, t));
    const out = { re: new Float64Array(band.count), im: new Float64Array(band.count) };
    transformed(base, c, turns.map(Math.cos), turns.map(Math.sin), out.re, out.im);
    return { re: out.re.map((x, i) => x * weight[i]), im: out.im.map((x, i) => x * weight[i]) };
  };
  const lineAt = (alpha: number, w: number): Complex => {
    const re = new Float64Array(band.count);
    const im = new Float64Array(band.count);
    band.omega.forEach((at, i) => {
      const turn = (w - at) / band.sampleRateHz;
      const fall = Math.exp(-alpha / band.sampleRateHz);
      const [a, b] = [1 - fall * Math.cos(turn), -fall * Math.sin(turn)];
      re[i] = (weight[i] * a) / (a * a + b * b);
      im[i] = (-weight[i] * b) / (a * a + b * b);
    });
    return { re, im };
  };
  const difference = (u: Complex, v: Complex, h: number): Complex => ({
    re: u.re.map((x, i) => (x - v.re[i]) / h),
    im: u.im.map((x, i) => (x - v.im[i]) / h),
  });
  const lines: Complex[] = [{ re: weight, im: new Float64Array(band.count) }];
  const tangents: Complex[] = [];
  poles[k].alpha.forEach((alpha, j) => {
    const w = poles[k].omega[j];
    const h = 1e-3 * alpha;
    lines.push(lineAt(alpha, w));
    tangents.push(difference(lineAt(alpha, w + h), lineAt(alpha, w - h), 2 * h));
  });
  const { amount, timeConstantS } = glide;
  const h = 1e-4;
  const byAmount = difference(
    bins({ amount: amount * (1 + h), timeConstantS }),
    bins({ amount: amount * (1 - h), timeConstantS }),
    2 * h * amount,
  );
  const byLog = difference(
    bins({ amount, timeConstantS: timeConstantS * Math.exp(h) }),
    bins({ amount, timeConstantS: timeConstantS * Math.exp(-h) }),
    2 * h,
  );
  return { data: bins(glide), lines, tangents, byAmount, byLog, count: band.count };
}
