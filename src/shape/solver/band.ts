/**
 * A symmetric matrix of narrow band: row i holds columns i - band to i of the lower triangle, at
 * `i * (band + 1) + (j - i + band)`.
 */
export interface BandMatrix {
  readonly size: number;
  readonly band: number;
  readonly values: Float64Array;
}

export function bandMatrix(size: number, band: number): BandMatrix {
  return { size, band, values: new Float64Array(size * (band + 1)) };
}

/**
 * Sum of products of two stretches. Four sums side by side, since each addition waits for the one before it: this is where a
 * forecast spends its time.
 */
export function dot(a: Float64Array, fromA: number, b: Float64Array, fromB: number, count: number): number {
  let [s0, s1, s2, s3] = [0, 0, 0, 0];
  let k = 0;
  for (; k + 3 < count; k += 4) {
    s0 += a[fromA + k]! * b[fromB + k]!;
    s1 += a[fromA + k + 1]! * b[fromB + k + 1]!;
    s2 += a[fromA + k + 2]! * b[fromB + k + 2]!;
    s3 += a[fromA + k + 3]! * b[fromB + k + 3]!;
  }
  for (; k < count; k++) s0 += a[fromA + k]! * b[fromB + k]!;
  return s0 + s1 + (s2 + s3);
}

/** Cholesky factor L in place, A = L Lᵀ. @returns false where A is not positive definite */
export function factorise({ size, band, values }: BandMatrix): boolean {
  const width = band + 1;
  for (let i = 0; i < size; i++) {
    const rowI = i * width - i + band;
    const first = Math.max(0, i - band);
    for (let j = first; j < i; j++) {
      const rowJ = j * width - j + band;
      const from = Math.max(first, j - band);
      const sum = values[rowI + j]! - dot(values, rowI + from, values, rowJ + from, j - from);
      values[rowI + j] = sum / values[rowJ + j]!;
    }
    const pivot = values[rowI + i]! - dot(values, rowI + first, values, rowI + first, i - first);
    if (!(pivot > 0)) return false;
    values[rowI + i] = Math.sqrt(pivot);
  }
  return true;
}

/** x := L⁻¹ x. */
export function solveLower({ size, band, values }: BandMatrix, x: Float64Array): void {
  const width = band + 1;
  for (let i = 0; i < size; i++) {
    const row = i * width - i + band;
    const first = Math.max(0, i - band);
    x[i] = (x[i]! - dot(values, row + first, x, first, i - first)) / values[row + i]!;
  }
}

/** x := L⁻ᵀ x. */
export function solveUpper({ size, band, values }: BandMatrix, x: Float64Array): void {
  const width = band + 1;
  for (let i = size - 1; i >= 0; i--) {
    const row = i * width - i + band;
    const value = x[i]! / values[row + i]!;
    x[i] = value;
    for (let k = Math.max(0, i - band); k < i; k++) x[k]! -= values[row + k]! * value;
  }
}

/** y := A x for the three parts of each node's motion, A symmetric with a row for each node. */
export function multiplyNodes({ size, band, values }: BandMatrix, x: Float64Array, y: Float64Array): void {
  const width = band + 1;
  y.fill(0);
  for (let i = 0; i < size; i++) {
    const row = i * width - i + band;
    const [u, v, w] = [x[3 * i]!, x[3 * i + 1]!, x[3 * i + 2]!];
    const diagonal = values[row + i]!;
    let [sumU, sumV, sumW] = [diagonal * u, diagonal * v, diagonal * w];
    for (let k = Math.max(0, i - band); k < i; k++) {
      const value = values[row + k]!;
      const at = 3 * k;
      sumU += value * x[at]!;
      sumV += value * x[at + 1]!;
      sumW += value * x[at + 2]!;
      y[at]! += value * u;
      y[at + 1]! += value * v;
      y[at + 2]! += value * w;
    }
    y[3 * i]! += sumU;
    y[3 * i + 1]! += sumV;
    y[3 * i + 2]! += sumW;
  }
}
