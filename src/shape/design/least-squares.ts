import { bandMatrix, factorise, solveLower, solveUpper } from "../solver/band.ts";

/**
 * x that makes the sum of squares of rows · x - right least within bounds: solved on what is free, what lies beyond a bound most
 * is set to it, and so on until nothing does (an active set that only grows; enough where bounds are seldom met).
 *
 * @param rows must tell every unknown, as rows that hold each near nothing do
 */
export function boundedLeastSquares(
  rows: readonly (readonly number[])[],
  right: readonly number[],
  low: readonly number[],
  high: readonly number[],
): number[] {
  const count = low.length;
  const x = low.map((least, k) => Math.min(high[k]!, Math.max(least, 0)));
  const free = new Set(x.keys());
  while (free.size > 0) {
    const solved = solveFree(rows, right, x, [...free]);
    let [worst, most] = [-1, 1e-12];
    for (const [at, k] of [...free].entries()) {
      const beyond = Math.max(low[k]! - solved[at]!, solved[at]! - high[k]!);
      if (beyond > most) [worst, most] = [at, beyond];
    }
    const order = [...free];
    if (worst < 0) {
      order.forEach((k, at) => {
        x[k] = solved[at]!;
      });
      return x;
    }
    const fixed = order[worst]!;
    x[fixed] = solved[worst]! < low[fixed]! ? low[fixed]! : high[fixed]!;
    free.delete(fixed);
    if (free.size === count) break;
  }
  return x;
}

function solveFree(
  rows: readonly (readonly number[])[],
  right: readonly number[],
  x: readonly number[],
  free: readonly number[],
): Float64Array {
  const size = free.length;
  const normal = bandMatrix(size, size - 1);
  const known = new Float64Array(size);
  rows.forEach((row, i) => {
    let rest = right[i]!;
    row.forEach((part, k) => {
      if (!free.includes(k)) rest -= part * x[k]!;
    });
    for (let a = 0; a < size; a++) {
      known[a]! += row[free[a]!]! * rest;
      for (let b = 0; b <= a; b++) {
        normal.values[a * size + b - a + size - 1]! += row[free[a]!]! * row[free[b]!]!;
      }
    }
  });
  factorise(normal);
  solveLower(normal, known);
  solveUpper(normal, known);
  return known;
}
