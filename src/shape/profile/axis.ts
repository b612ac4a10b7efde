import { InvalidShapeError } from "../error.ts";

type Vector = [x: number, y: number, z: number];

const ROUNDS = 12;

/** The line that a body turns about: a point on it and its direction, of length 1. */
export interface Axis {
  readonly point: Vector;
  readonly along: Vector;
}

const cross = (a: Vector, b: Vector): Vector => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];

/**
 * The axis of a mesh, by the rule that the normals of a surface of revolution all meet its axis (Pottmann & Randrup 1998, from
 * memory): least squares over the triangles by area, each round trusting those less whose normal passes the axis by far, as
 * those of lugs and letters do.
 *
 * @throws InvalidShapeError where nothing is turned about anything
 */
export function axisOf(triangles: Float64Array): Axis {
  const count = triangles.length / 9;
  const centre: Vector = [0, 0, 0];
  for (let i = 0; i < triangles.length; i++) centre[i % 3]! += triangles[i]! / (3 * count);
  const lines = normalLines(triangles, centre);
  const weight = Float64Array.from({ length: count }, (_, i) => lines[7 * i + 6]!);
  let axis: Axis = { point: [0, 0, 0], along: [0, 0, 1] };
  const passes = new Float64Array(count);
  for (let round = 0; round < ROUNDS; round++) {
    axis = fitted(lines, weight);
    const moment = cross(axis.point, axis.along);
    for (let i = 0; i < count; i++) {
      let pass = 0;
      for (let k = 0; k < 3; k++) {
        pass += lines[7 * i + k]! * moment[k]! + lines[7 * i + 3 + k]! * axis.along[k]!;
      }
      passes[i] = Math.abs(pass);
    }
    const usual = Math.max(1e-12, passes.slice().sort()[count >> 1]!);
    for (let i = 0; i < count; i++) {
      weight[i] = lines[7 * i + 6]! / (1 + (passes[i]! / (3 * usual)) ** 2);
    }
  }
  const [x, y, z] = axis.point;
  if (![x, y, z, ...axis.along].every(Number.isFinite)) {
    throw new InvalidShapeError("the mesh has no axis that it is turned about; give the pattern of a bell");
  }
  return { point: [x + centre[0], y + centre[1], z + centre[2]], along: axis.along };
}

/** For each triangle its normal, the moment of the normal's line about the centre, and the area. */
function normalLines(triangles: Float64Array, centre: Vector): Float64Array {
  const lines = new Float64Array((7 * triangles.length) / 9);
  for (let i = 0; i < triangles.length / 9; i++) {
    const t = triangles.subarray(9 * i, 9 * i + 9);
    const normal = cross(
      [t[3]! - t[0]!, t[4]! - t[1]!, t[5]! - t[2]!],
      [t[6]! - t[0]!, t[7]! - t[1]!, t[8]! - t[2]!],
    );
    const double = Math.hypot(...normal);
    if (double === 0) continue;
    const n: Vector = [normal[0] / double, normal[1] / double, normal[2] / double];
    const middle: Vector = [0, 0, 0];
    for (let k = 0; k < 3; k++) middle[k] = (t[k]! + t[k + 3]! + t[k + 6]!) / 3 - centre[k]!;
    lines.set([...n, ...cross(middle, n), double / 2], 7 * i);
  }
  return lines;
}

function fitted(lines: Float64Array, weight: Float64Array): Axis {
  // Sums of n n', n c' and c c', n the normal and c its moment.
  const sums = new Float64Array(36);
  for (let i = 0; i < weight.length; i++) {
    for (let a = 0; a < 6; a++) {
      const wa = weight[i]! * lines[7 * i + a]!;
      for (let b = a; b < 6; b++) sums[6 * a + b]! += wa * lines[7 * i + b]!;
    }
  }
  const at = (a: number, b: number) => sums[6 * Math.min(a, b) + Math.max(a, b)]!;
  const block = (from: number, to: number) =>
    [0, 1, 2].map((a) => [0, 1, 2].map((b) => at(from + a, to + b)));
  const inverse = inverse3(block(0, 0));
  const mixed = block(0, 3);
  // The moment that fits best for a direction d is -inverse mixed d; what is left is quadratic in d.
  const back = multiplied(inverse, mixed);
  const left = block(3, 3).map((row, a) =>
    row.map((value, b) => value - [0, 1, 2].reduce((sum, k) => sum + mixed[k]![a]! * back[k]![b]!, 0)),
  );
  const along = leastDirection(left);
  const moment = back.map((row) => -(row[0]! * along[0] + row[1]! * along[1] + row[2]! * along[2])) as Vector;
  return { point: cross(along, moment), along };
}

function multiplied(a: number[][], b: number[][]): number[][] {
  return a.map((row) => [0, 1, 2].map((j) => row.reduce((sum, value, k) => sum + value * b[k]![j]!, 0)));
}

function inverse3([a, b, c]: number[][]): number[][] {
  const [x, y, z] = [a as Vector, b as Vector, c as Vector];
  const [yz, zx, xy] = [cross(y, z), cross(z, x), cross(x, y)];
  const determinant = x[0] * yz[0] + x[1] * yz[1] + x[2] * yz[2];
  return [0, 1, 2].map((i) => [yz[i]! / determinant, zx[i]! / determinant, xy[i]! / determinant]);
}

/** The eigenvector of the least eigenvalue of a symmetric matrix, by Jacobi's rotations. */
function leastDirection(matrix: number[][]): Vector {
  const a = matrix.map((row) => row.slice());
  const v = [0, 1, 2].map((i) => [0, 1, 2].map((j) => (i === j ? 1 : 0)));
  for (let sweep = 0; sweep < 30; sweep++) {
    for (const [p, q] of [
      [0, 1],
      [0, 2],
      [1, 2],
    ] as const) {
      if (Math.abs(a[p]![q]!) < 1e-300) continue;
      const angle = 0.5 * Math.atan2(2 * a[p]![q]!, a[q]![q]! - a[p]![p]!);
      const [c, s] = [Math.cos(angle), Math.sin(angle)];
      for (const rows of [a, v]) {
        for (const row of rows) [row[p], row[q]] = [c * row[p]! - s * row[q]!, s * row[p]! + c * row[q]!];
      }
      const [ap, aq] = [a[p]!.slice(), a[q]!.slice()];
      for (let k = 0; k < 3; k++) {
        a[p]![k] = c * ap[k]! - s * aq[k]!;
        a[q]![k] = s * ap[k]! + c * aq[k]!;
      }
    }
  }
  const least = [0, 1, 2].reduce((best, k) => (a[k]![k]! < a[best]![best]! ? k : best), 0);
  return [v[0]![least]!, v[1]![least]!, v[2]![least]!];
}
