import { type BandMatrix, dot, solveLower, solveUpper } from "./band.ts";
import { tridiagonalEigen } from "./tridiagonal.ts";

/** Steps beyond which something is wrong; 16 to 30 are usual for six pairs. */
const MOST_STEPS = 140;
/** A pair counts as found when its residual is below this part of it; the eigenvalue then errs by its square. */
const TOLERANCE = 1e-7;

/** Arrays of one size of problem, to be used again for each harmonic. */
export interface LanczosSpace {
  readonly size: number;
  /** Basis vectors one after the other. */
  readonly basis: Float64Array;
  readonly work: Float64Array;
  readonly next: Float64Array;
  readonly start: Float64Array;
}

export function lanczosSpace(size: number): LanczosSpace {
  const start = new Float64Array(size);
  // Any vector that no symmetry of the body is orthogonal to will do; a fixed one makes results repeat to the bit.
  let seed = 12345;
  for (let i = 0; i < size; i++) {
    seed = (seed * 1103515245 + 12345) % 2147483648;
    start[i] = seed / 2147483648 - 0.5;
  }
  return {
    size,
    basis: new Float64Array(size * (MOST_STEPS + 1)),
    work: new Float64Array(size),
    next: new Float64Array(size),
    start,
  };
}

/** y := M x. */
export type MassTimes = (x: Float64Array, y: Float64Array) => void;

export interface LanczosPairs {
  /** Largest eigenvalues theta of L⁻¹ M L⁻ᵀ, falling. */
  theta: number[];
  /** Of each the vector u with uᵀ M u = 1 of A u = (1 / theta) M u. */
  vectors: Float64Array[];
  steps: number;
}

/**
 * The largest eigenpairs of L⁻¹ M L⁻ᵀ, with A = L Lᵀ: those of A u = lambda M u nearest zero. Lanczos with full
 * reorthogonalisation, a second time where the first took much away (Kahan; Parlett, The Symmetric Eigenvalue Problem, from
 * memory). Where fewer exist than asked for, fewer are returned.
 */
export function largestPairs(
  factor: BandMatrix,
  massTimes: MassTimes,
  count: number,
  space: LanczosSpace,
): LanczosPairs {
  const { size, basis, work } = space;
  const alpha = new Float64Array(MOST_STEPS);
  const beta = new Float64Array(MOST_STEPS);
  work.set(space.start);
  // Once through the operator takes out whatever the conditions on the axis forbid.
  apply(factor, massTimes, work, space.next);
  normalise(work, size);
  basis.set(work, 0);
  for (let step = 1; ; step++) {
    work.set(basis.subarray((step - 1) * size, step * size));
    apply(factor, massTimes, work, space.next);
    const before = Math.sqrt(dot(work, 0, work, 0, size));
    alpha[step - 1] = orthogonalise(work, basis, step, size);
    let left = Math.sqrt(dot(work, 0, work, 0, size));
    if (left < 0.7 * before) {
      alpha[step - 1]! += orthogonalise(work, basis, step, size);
      left = Math.sqrt(dot(work, 0, work, 0, size));
    }
    beta[step - 1] = left;
    const exhausted = left <= 1e-13 * before;
    if (exhausted || step === MOST_STEPS || (step >= count + 8 && (step - count) % 4 === 0)) {
      const found = settled(alpha, beta, step, count, exhausted || step === MOST_STEPS);
      if (found !== null) return pairs(found, factor, step, space);
    }
    for (let i = 0; i < size; i++) basis[step * size + i] = work[i]! / left;
  }
}

function apply(factor: BandMatrix, massTimes: MassTimes, x: Float64Array, scratch: Float64Array): void {
  scratch.set(x);
  solveUpper(factor, scratch);
  massTimes(scratch, x);
  solveLower(factor, x);
}

/** Takes the first `count` basis vectors out of x. @returns how much of the last there was */
function orthogonalise(x: Float64Array, basis: Float64Array, count: number, size: number): number {
  let part = 0;
  for (let j = 0; j < count; j++) {
    const at = j * size;
    part = dot(x, 0, basis, at, size);
    for (let i = 0; i < size; i++) x[i]! -= part * basis[at + i]!;
  }
  return part;
}

function normalise(x: Float64Array, size: number): void {
  const length = Math.sqrt(dot(x, 0, x, 0, size));
  for (let i = 0; i < size; i++) x[i]! /= length;
}

interface Found {
  theta: number[];
  columns: number[];
  vectors: Float64Array;
}

/** The pairs asked for, or null while one of them is not yet found. */
function settled(
  alpha: Float64Array,
  beta: Float64Array,
  steps: number,
  count: number,
  last: boolean,
): Found | null {
  const theta = alpha.slice(0, steps);
  const vectors = new Float64Array(steps * steps);
  tridiagonalEigen(theta, beta.slice(0, steps), steps, vectors);
  const columns = Array.from(theta.keys())
    .sort((a, b) => theta[b]! - theta[a]!)
    .slice(0, count);
  const rest = (column: number) => Math.abs(beta[steps - 1]! * vectors[(steps - 1) * steps + column]!);
  const good = columns.filter((column) => rest(column) <= TOLERANCE * Math.abs(theta[column]!));
  if (good.length < columns.length && !last) return null;
  return { theta: good.map((column) => theta[column]!), columns: good, vectors };
}

function pairs(found: Found, factor: BandMatrix, steps: number, { size, basis }: LanczosSpace): LanczosPairs {
  const vectors = found.columns.map((column, which) => {
    const vector = new Float64Array(size);
    for (let j = 0; j < steps; j++) {
      const part = found.vectors[j * steps + column]!;
      for (let i = 0; i < size; i++) vector[i]! += part * basis[j * size + i]!;
    }
    solveUpper(factor, vector);
    const scale = 1 / Math.sqrt(found.theta[which]!);
    for (let i = 0; i < size; i++) vector[i]! *= scale;
    return vector;
  });
  return { theta: found.theta, vectors, steps };
}
