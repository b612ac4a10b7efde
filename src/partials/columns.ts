import type { Band, Poles } from "./band.ts";

/** One whitened value a bin. */
export interface Column {
  re: Float64Array;
  im: Float64Array;
}

/** Orthonormal basis of a constant, of each line phi and of its derivative by the pole, phi^2, whitened (modified Gram-Schmidt). */
export function tangentBasis(band: Band, c: number, poles: Poles): Column[] {
  const n = band.count;
  const { weight } = band.channels[c];
  const basis: Column[] = [];
  const add = (re: Float64Array, im: Float64Array) => {
    const column = whitenedOff(basis, re, im, weight);
    let norm = 0;
    for (let i = 0; i < n; i++) norm += column.re[i] ** 2 + column.im[i] ** 2;
    if (!(norm > 0)) return;
    const scale = 1 / Math.sqrt(norm);
    for (let i = 0; i < n; i++) {
      column.re[i] *= scale;
      column.im[i] *= scale;
    }
    basis.push(column);
  };
  add(new Float64Array(n).fill(1), new Float64Array(n));
  for (let j = 0; j < poles.alpha.length; j++) {
    const radius = Math.exp(-poles.alpha[j] / band.sampleRateHz);
    const zRe = radius * Math.cos(poles.omega[j] / band.sampleRateHz);
    const zIm = radius * Math.sin(poles.omega[j] / band.sampleRateHz);
    const re = new Float64Array(n);
    const im = new Float64Array(n);
    const re2 = new Float64Array(n);
    const im2 = new Float64Array(n);
    for (let i = 0; i < n; i++) {
      const x = 1 - (zRe * band.stepRe[i] - zIm * band.stepIm[i]);
      const y = -(zRe * band.stepIm[i] + zIm * band.stepRe[i]);
      const inverse = 1 / (x * x + y * y);
      re[i] = x * inverse;
      im[i] = -y * inverse;
      re2[i] = re[i] * re[i] - im[i] * im[i];
      im2[i] = 2 * re[i] * im[i];
    }
    add(re, im);
    add(re2, im2);
  }
  return basis;
}

/** Weighs a column, in place, and takes its part within the basis off; twice, for what rounding leaves. */
export function whitenedOff(
  basis: Column[],
  re: Float64Array,
  im: Float64Array,
  weight: Float64Array,
): Column {
  const n = re.length;
  for (let i = 0; i < n; i++) {
    re[i] *= weight[i];
    im[i] *= weight[i];
  }
  for (let pass = 0; pass < 2; pass++) {
    for (const q of basis) {
      let tRe = 0;
      let tIm = 0;
      for (let i = 0; i < n; i++) {
        tRe += q.re[i] * re[i] + q.im[i] * im[i];
        tIm += q.re[i] * im[i] - q.im[i] * re[i];
      }
      for (let i = 0; i < n; i++) {
        re[i] -= tRe * q.re[i] - tIm * q.im[i];
        im[i] -= tRe * q.im[i] + tIm * q.re[i];
      }
    }
  }
  return { re, im };
}
