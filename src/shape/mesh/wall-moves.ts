import type { WallMesh } from "./mesh.ts";

export type Wall = "outer" | "inner";

/** The points of one wall at the stations, with the unit normal that points into the metal. */
export interface WallStations {
  readonly wall: Wall;
  readonly rM: Float64Array;
  readonly zM: Float64Array;
  /** Way along the wall from the crown, m. */
  readonly alongM: Float64Array;
  readonly normalR: Float64Array;
  readonly normalZ: Float64Array;
}

export function wallStations(mesh: WallMesh, wall: Wall): WallStations {
  const { columns } = mesh;
  const rM = new Float64Array(columns);
  const zM = new Float64Array(columns);
  const alongM = new Float64Array(columns);
  const normalR = new Float64Array(columns);
  const normalZ = new Float64Array(columns);
  for (let j = 0; j < columns; j++) {
    const node = wallNode(mesh, wall, j);
    rM[j] = mesh.rM[node]!;
    zM[j] = mesh.zM[node]!;
    if (j > 0) alongM[j] = alongM[j - 1]! + Math.hypot(rM[j]! - rM[j - 1]!, zM[j]! - zM[j - 1]!);
  }
  const other: Wall = wall === "inner" ? "outer" : "inner";
  let side = 0;
  for (let j = 0; j < columns; j++) {
    const [from, to] = [Math.max(0, j - 1), Math.min(columns - 1, j + 1)];
    const [dr, dz] = [rM[to]! - rM[from]!, zM[to]! - zM[from]!];
    const length = Math.hypot(dr, dz) || 1;
    normalR[j] = -dz / length;
    normalZ[j] = dr / length;
    const facing = wallNode(mesh, other, j);
    side += normalR[j]! * (mesh.rM[facing]! - rM[j]!) + normalZ[j]! * (mesh.zM[facing]! - zM[j]!);
  }
  if (side < 0) {
    for (let j = 0; j < columns; j++) {
      normalR[j] = -normalR[j]!;
      normalZ[j] = -normalZ[j]!;
    }
  }
  return { wall, rM, zM, alongM, normalR, normalZ };
}

function wallNode({ lattice, rows }: WallMesh, wall: Wall, column: number): number {
  return lattice[column * rows + (wall === "outer" ? 0 : rows - 1)]!;
}

/**
 * What moves when metal is taken off a wall: calls `visit` with each node of a station and how far it goes, by the wall's own
 * depth; the other wall stays and what lies between goes in proportion. Nodes of the axis stay on it.
 */
export function eachMoved(
  mesh: WallMesh,
  { wall, rM, normalR, normalZ }: WallStations,
  column: number,
  visit: (node: number, byR: number, byZ: number) => void,
): void {
  const { lattice, rows } = mesh;
  const [first, last] = [lattice[column * rows]!, lattice[column * rows + rows - 1]!];
  const [nr, nz] = [rM[column]! <= 0 ? 0 : normalR[column]!, normalZ[column]!];
  if (first === last) {
    visit(first, nr, nz);
    return;
  }
  for (let i = 0; i < rows; i++) {
    const node = lattice[column * rows + i]!;
    const part = wall === "inner" ? i / (rows - 1) : 1 - i / (rows - 1);
    if (node >= 0 && part > 0) visit(node, part * nr, part * nz);
  }
}

/** The mesh after metal of `depthM` at each station (never added where positive) is gone from one wall. */
export function thinned(mesh: WallMesh, stations: WallStations, depthM: Float64Array): WallMesh {
  const rM = mesh.rM.slice();
  const zM = mesh.zM.slice();
  for (let j = 0; j < mesh.columns; j++) {
    if (depthM[j] === 0) continue;
    eachMoved(mesh, stations, j, (node, byR, byZ) => {
      rM[node]! += depthM[j]! * byR;
      zM[node]! += depthM[j]! * byZ;
    });
  }
  return { ...mesh, rM, zM };
}
