/** Small Hermitian systems, row major, split into real and imaginary parts. */

/**
 * Cholesky factor L (lower, in place of the lower triangle) of an n x n Hermitian matrix.
 * Returns false when the matrix is not positive definite to working precision.
 */
export function choleskyInPlace(re: Float64Array, im: Float64Array, n: number): boolean {
  for (let j = 0; j < n; j++) {
    let d = re[j * n + j];
    const original = d;
    for (let k = 0; k < j; k++) d -= re[j * n + k] ** 2 + im[j * n + k] ** 2;
    if (!(d > original * 1e-13) || !(d > 0)) return false;
    d = Math.sqrt(d);
    re[j * n + j] = d;
    im[j * n + j] = 0;
    for (let i = j + 1; i < n; i++) {
      let a = re[i * n + j];
      let b = im[i * n + j];
      for (let k = 0; k < j; k++) {
        const lRe = re[i * n + k];
        const lIm = im[i * n + k];
        const mRe = re[j * n + k];
        const mIm = im[j * n + k];
        a -= lRe * mRe + lIm * mIm;
        b -= lIm * mRe - lRe * mIm;
      }
      re[i * n + j] = a / d;
      im[i * n + j] = b / d;
    }
  }
  return true;
}

/** Solves L L^H x = b in place, L from choleskyInPlace. */
export function choleskySolve(
  re: Float64Array,
  im: Float64Array,
  n: number,
  xRe: Float64Array,
  xIm: Float64Array,
): void {
  for (let i = 0; i < n; i++) {
    let a = xRe[i];
    let b = xIm[i];
    for (let k = 0; k < i; k++) {
      a -= re[i * n + k] * xRe[k] - im[i * n + k] * xIm[k];
      b -= re[i * n + k] * xIm[k] + im[i * n + k] * xRe[k];
    }
    xRe[i] = a / re[i * n + i];
    xIm[i] = b / re[i * n + i];
  }
  for (let i = n - 1; i >= 0; i--) {
    let a = xRe[i];
    let b = xIm[i];
    for (let k = i + 1; k < n; k++) {
      a -= re[k * n + i] * xRe[k] + im[k * n + i] * xIm[k];
      b -= re[k * n + i] * xIm[k] - im[k * n + i] * xRe[k];
    }
    xRe[i] = a / re[i * n + i];
    xIm[i] = b / re[i * n + i];
  }
}
