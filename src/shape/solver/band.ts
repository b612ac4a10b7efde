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

/** Cholesky factor L in place, A = L Lᵀ. @returns false where A is not positive definite */
export function factorise({ size, band, values }: BandMatrix): boolean {
  const width = band + 1;
  for (let i = 0; i < size; i++) {
    const rowI = i * width - i + band;
    const first = Math.max(0, i - band);
    for (let j = first; j < i; j++) {
      const rowJ = j * width - j + band;
      let sum = values[rowI + j]!;
      for (let k = Math.max(first, j - band); k < j; k++) sum -= values[rowI + k]! * values[rowJ + k]!;
      values[rowI + j] = sum / values[rowJ + j]!;
    }
    let pivot = values[rowI + i]!;
    for (let k = first; k < i; k++) pivot -= values[rowI + k]! ** 2;
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
    let sum = x[i]!;
    for (let k = Math.max(0, i - band); k < i; k++) sum -= values[row + k]! * x[k]!;
    x[i] = sum / values[row + i]!;
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

/** y := A x, A symmetric. */
export function multiply({ size, band, values }: BandMatrix, x: Float64Array, y: Float64Array): void {
  const width = band + 1;
  y.fill(0);
  for (let i = 0; i < size; i++) {
    const row = i * width - i + band;
    const value = x[i]!;
    let sum = values[row + i]! * value;
    for (let k = Math.max(0, i - band); k < i; k++) {
      sum += values[row + k]! * x[k]!;
      y[k]! += values[row + k]! * value;
    }
    y[i]! += sum;
  }
}
