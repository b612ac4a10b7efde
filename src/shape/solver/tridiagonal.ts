/** Rounds of one eigenvalue; two or three are usual. */
const MOST_ROUNDS = 60;

/**
 * All eigenvalues and vectors of a symmetric tridiagonal matrix by implicit QL (Bowdler, Martin, Reinsch and Wilkinson,
 * Numer. Math. 11 (1968) 293-306, from memory).
 *
 * @param diagonal replaced by the eigenvalues, in no order
 * @param below entry i joins i and i + 1; destroyed
 * @param vectors `size` by `size`, filled row by row; column c belongs to eigenvalue c
 */
export function tridiagonalEigen(
  diagonal: Float64Array,
  below: Float64Array,
  size: number,
  vectors: Float64Array,
): void {
  vectors.fill(0);
  for (let i = 0; i < size; i++) vectors[i * size + i] = 1;
  below[size - 1] = 0;
  for (let low = 0; low < size; low++) {
    for (let round = 0; round < MOST_ROUNDS; round++) {
      const high = firstNegligible(diagonal, below, low, size);
      if (high === low) break;
      sweep(diagonal, below, low, high, size, vectors);
    }
  }
}

function firstNegligible(diagonal: Float64Array, below: Float64Array, from: number, size: number): number {
  for (let i = from; i < size - 1; i++) {
    const scale = Math.abs(diagonal[i]!) + Math.abs(diagonal[i + 1]!);
    if (Math.abs(below[i]!) <= Number.EPSILON * scale) return i;
  }
  return size - 1;
}

function sweep(
  diagonal: Float64Array,
  below: Float64Array,
  low: number,
  high: number,
  size: number,
  vectors: Float64Array,
): void {
  let g = (diagonal[low + 1]! - diagonal[low]!) / (2 * below[low]!);
  let r = Math.hypot(g, 1);
  g = diagonal[high]! - diagonal[low]! + below[low]! / (g + (g >= 0 ? r : -r));
  let [s, c, p] = [1, 1, 0];
  for (let i = high - 1; i >= low; i--) {
    const f = s * below[i]!;
    const b = c * below[i]!;
    r = Math.hypot(f, g);
    below[i + 1] = r;
    if (r === 0) {
      diagonal[i + 1]! -= p;
      below[high] = 0;
      return;
    }
    s = f / r;
    c = g / r;
    g = diagonal[i + 1]! - p;
    r = (diagonal[i]! - g) * s + 2 * c * b;
    p = s * r;
    diagonal[i + 1] = g + p;
    g = c * r - b;
    for (let k = 0; k < size; k++) {
      const at = k * size + i;
      const [left, right] = [vectors[at]!, vectors[at + 1]!];
      vectors[at + 1] = s * left + c * right;
      vectors[at] = c * left - s * right;
    }
  }
  diagonal[low]! -= p;
  below[low] = g;
  below[high] = 0;
}
