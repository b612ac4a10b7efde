import { InvalidShapeError } from "../error.ts";
import type { Profile } from "../profile/profile.ts";
import { elementPoint, mapPoint } from "../solver/element.ts";
import { MASS_POINTS, STIFFNESS_POINTS } from "../solver/quadrature.ts";
import { type Curve, lengthM, pointAt } from "./curve.ts";
import { type Walls, wallsOf } from "./lip.ts";
import type { Mesh, WallMesh } from "./mesh.ts";
import { interpolated, type Pairing, pairWalls } from "./pair-walls.ts";

/** A profile whose walls are paired: what meshes of any fineness are made from. */
export interface PairedProfile {
  readonly walls: Walls;
  readonly pairing: Pairing;
}

export function pairedProfile(profile: Profile): PairedProfile {
  const walls = wallsOf(profile);
  return { walls, pairing: pairWalls(walls) };
}

/** Places of the nodes: `columns` stations by `rows` across, outer wall first, at `column * rows + row`. */
export interface NodeGrid {
  readonly columns: number;
  readonly rows: number;
  readonly rM: Float64Array;
  readonly zM: Float64Array;
}

/**
 * A mesh of `along` elements from crown to lip and `through` from wall to wall; nodes straight across, those of the last
 * column on the lip's own contour.
 *
 * @throws InvalidShapeError where an element is turned inside out, with the place
 */
export function meshProfile({ walls, pairing }: PairedProfile, along: number, through: number): WallMesh {
  const columns = 2 * along + 1;
  const steps = Float64Array.from(pairing.outerM.keys(), (j) => j / (pairing.outerM.length - 1));
  const places = Float64Array.from({ length: columns }, (_, j) => j / (columns - 1));
  const outerM = interpolated(steps, pairing.outerM, places);
  const innerM = interpolated(steps, pairing.innerM, places);
  const grid = nodeGrid(
    Array.from(outerM, (at) => pointAt(walls.outer, at)),
    Array.from(innerM, (at) => pointAt(walls.inner, at)),
    through,
  );
  layAlong(grid, 0, walls.crownEnd);
  layAlong(grid, columns - 1, walls.lipEnd);
  return gridMesh(grid);
}

/** Nodes straight across between matched points of both walls. */
export function nodeGrid(
  outer: readonly (readonly [number, number])[],
  inner: readonly (readonly [number, number])[],
  through: number,
): NodeGrid {
  const [columns, rows] = [outer.length, 2 * through + 1];
  const grid = { columns, rows, rM: new Float64Array(columns * rows), zM: new Float64Array(columns * rows) };
  for (let j = 0; j < columns; j++) {
    for (let i = 0; i < rows; i++) {
      const t = i / (rows - 1);
      grid.rM[j * rows + i] = outer[j]![0] * (1 - t) + inner[j]![0] * t;
      grid.zM[j * rows + i] = outer[j]![1] * (1 - t) + inner[j]![1] * t;
    }
  }
  return grid;
}

function layAlong({ rows, rM, zM }: NodeGrid, column: number, face: Curve): void {
  if (face.rM.length < 3) return;
  for (let i = 1; i < rows - 1; i++) {
    [rM[column * rows + i], zM[column * rows + i]] = pointAt(face, (i / (rows - 1)) * lengthM(face));
  }
}

/** The mesh of a grid of nodes; where the walls meet at an end, its nodes are one. @throws InvalidShapeError */
export function gridMesh(grid: NodeGrid): WallMesh {
  const { columns, rows } = grid;
  const lattice = new Int32Array(columns * rows).fill(-1);
  const [r, z]: [number[], number[]] = [[], []];
  for (let j = 0; j < columns; j++) {
    const point = meets(grid, j);
    for (let i = 0; i < rows; i++) {
      if (j % 2 === 1 && i % 2 === 1) continue;
      if (point && i > 0) {
        lattice[j * rows + i] = lattice[j * rows]!;
        continue;
      }
      lattice[j * rows + i] = r.length;
      r.push(grid.rM[j * rows + i]!);
      z.push(grid.zM[j * rows + i]!);
    }
  }
  const mesh = {
    rM: Float64Array.from(r),
    zM: Float64Array.from(z),
    elements: elementsOf(grid, lattice),
    columns,
    rows,
    lattice,
  };
  checkElements(mesh);
  return mesh;
}

function meets({ columns, rows, rM, zM }: NodeGrid, column: number): boolean {
  if (column > 0 && column < columns - 1) return false;
  const at = column * rows;
  const inwards = column === 0 ? rows : -rows;
  const apart = Math.hypot(rM[at]! - rM[at + rows - 1]!, zM[at]! - zM[at + rows - 1]!);
  const step = Math.hypot(rM[at]! - rM[at + 2 * inwards]!, zM[at]! - zM[at + 2 * inwards]!);
  return apart <= 1e-3 * step;
}

function elementsOf(grid: NodeGrid, lattice: Int32Array): Int32Array {
  const { columns, rows } = grid;
  const elements: number[] = [];
  const at = (j: number, i: number): number => lattice[j * rows + i]!;
  const outerLeft = signedArea(grid) < 0;
  for (let j = 0; j < columns - 1; j += 2) {
    for (let i = 0; i < rows - 1; i += 2) {
      const along = [at(j, i), at(j + 2, i), at(j + 2, i + 2), at(j, i + 2)];
      const sides = [at(j + 1, i), at(j + 2, i + 1), at(j + 1, i + 2), at(j, i + 1)];
      if (outerLeft) {
        elements.push(along[1]!, along[0]!, along[3]!, along[2]!, sides[0]!, sides[3]!, sides[2]!, sides[1]!);
      } else elements.push(...along, ...sides);
    }
  }
  return Int32Array.from(elements);
}

/** Of the whole section, walked down the outer wall and up the inner. */
function signedArea({ columns, rows, rM, zM }: NodeGrid): number {
  const round = [
    ...Array.from({ length: columns }, (_, j) => j * rows),
    ...Array.from({ length: columns }, (_, j) => (columns - 1 - j) * rows + rows - 1),
  ];
  return round.reduce((sum, a, k) => {
    const b = round[(k + 1) % round.length]!;
    return sum + (rM[a]! * zM[b]! - rM[b]! * zM[a]!) / 2;
  }, 0);
}

/** @throws InvalidShapeError naming the place of the first element that is turned inside out */
export function checkElements(mesh: Mesh): void {
  const point = elementPoint();
  for (let e = 0; e < mesh.elements.length / 8; e++) {
    for (const at of [...STIFFNESS_POINTS, ...MASS_POINTS]) {
      mapPoint(mesh, e, at, point);
      if (point.areaM2 > 0 && point.rM > 0) continue;
      const mm = (metres: number) => `${Number((1000 * metres).toPrecision(4))} mm`;
      const [r, z] = [mesh.rM[mesh.elements[8 * e]!]!, mesh.zM[mesh.elements[8 * e]!]!];
      throw new InvalidShapeError(
        `the wall folds over itself or has no thickness near r = ${mm(r)}, z = ${mm(z)}; look at the points of both walls there`,
      );
    }
  }
}
