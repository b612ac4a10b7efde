import { InvalidPlanError } from "./error.ts";
import { findEdgeFaults, findShells, weld } from "./mesh-topology.ts";
import type { TriangleMesh } from "./stl.ts";

export interface MeshVolume {
  volumeM3: number;
  /** Extent along x, y and z, to see at a glance whether the unit is right. */
  sizeM: [number, number, number];
  triangles: number;
  /** Closed surfaces it is made of; more than one means hollows, or separate bodies. */
  shells: number;
}

/**
 * Volume of a closed mesh: the sum of the signed tetrahedra between its triangles and one point (the divergence
 * theorem), which is positive where the corners of each triangle run anticlockwise seen from outside.
 *
 * A shell that encloses a negative volume is a hollow when it lies within another one; otherwise it is inside out.
 *
 * @param metresPerUnit what one unit of the file is; an STL file does not say
 * @throws InvalidPlanError where the surface is open, turned over in places, inside out, or encloses nothing.
 */
export function meshVolume({ coordinates, triangles }: TriangleMesh, metresPerUnit: number): MeshVolume {
  const welded = weld(coordinates);
  const { open, turned } = findEdgeFaults(welded);
  if (open > 0) {
    throw new InvalidPlanError(
      `the mesh is open at ${open} ${open === 1 ? "edge" : "edges"}, so it has no volume; close it in the drawing program ("make solid", "repair") and export it again`,
    );
  }
  if (turned > 0) {
    throw new InvalidPlanError(
      `faces of the mesh are turned over along ${turned} ${turned === 1 ? "edge" : "edges"}; unify its normals in the drawing program and export it again`,
    );
  }
  const { shellOf, shells } = findShells(welded);
  if (shells > MOST_SHELLS) {
    throw new InvalidPlanError(
      `the mesh is made of ${shells} separate surfaces; export the bell alone, as one solid`,
    );
  }
  const bounds = shellBounds(coordinates, shellOf, shells);
  const all = bounds.reduce(joined);
  const volumes = shellVolumes(coordinates, shellOf, shells, all);
  const volume = volumes.reduce((sum, v) => sum + v, 0);
  const sizeUnits = [0, 1, 2].map((axis) => all.high[axis]! - all.low[axis]!) as [number, number, number];
  const box = sizeUnits[0] * sizeUnits[1] * sizeUnits[2];
  if (!(Math.abs(volume) > 1e-12 * box)) {
    throw new InvalidPlanError("the mesh encloses no volume; export a solid, not a surface");
  }
  if (volume < 0 || !hollowsLieWithin(volumes, bounds)) {
    throw new InvalidPlanError(
      "the mesh is inside out: its faces point into the metal; flip its normals in the drawing program and export it again",
    );
  }
  return {
    volumeM3: volume * metresPerUnit ** 3,
    sizeM: sizeUnits.map((size) => size * metresPerUnit) as [number, number, number],
    triangles,
    shells,
  };
}

/** A bell is one surface, perhaps a few with its hollows; thousands are a scan's litter. */
const MOST_SHELLS = 1000;

interface Bounds {
  low: number[];
  high: number[];
}

/** Bounding box of every shell. */
function shellBounds(coordinates: Float64Array, shellOf: Int32Array, shells: number): Bounds[] {
  const bounds = Array.from(
    { length: shells },
    (): Bounds => ({ low: [Infinity, Infinity, Infinity], high: [-Infinity, -Infinity, -Infinity] }),
  );
  for (let i = 0; i < coordinates.length; i++) {
    const { low, high } = bounds[shellOf[Math.floor(i / 9)]!]!;
    const axis = i % 3;
    if (coordinates[i]! < low[axis]!) low[axis] = coordinates[i]!;
    if (coordinates[i]! > high[axis]!) high[axis] = coordinates[i]!;
  }
  return bounds;
}

function joined(a: Bounds, b: Bounds): Bounds {
  return {
    low: a.low.map((value, axis) => Math.min(value, b.low[axis]!)),
    high: a.high.map((value, axis) => Math.max(value, b.high[axis]!)),
  };
}

/** Signed volume of every shell. Seen from the middle of the box, so that a far-off origin costs no digits. */
function shellVolumes(
  p: Float64Array,
  shellOf: Int32Array,
  shells: number,
  { low, high }: Bounds,
): Float64Array {
  const volumes = new Float64Array(shells);
  const [ox, oy, oz] = [0, 1, 2].map((axis) => (low[axis]! + high[axis]!) / 2) as [number, number, number];
  for (let t = 0; t < shellOf.length; t++) {
    const i = 9 * t;
    const ax = p[i]! - ox;
    const ay = p[i + 1]! - oy;
    const az = p[i + 2]! - oz;
    const bx = p[i + 3]! - ox;
    const by = p[i + 4]! - oy;
    const bz = p[i + 5]! - oz;
    const cx = p[i + 6]! - ox;
    const cy = p[i + 7]! - oy;
    const cz = p[i + 8]! - oz;
    volumes[shellOf[t]!]! +=
      (ax * (by * cz - bz * cy) + ay * (bz * cx - bx * cz) + az * (bx * cy - by * cx)) / 6;
  }
  return volumes;
}

function hollowsLieWithin(volumes: Float64Array, bounds: Bounds[]): boolean {
  const bodies = bounds.filter((_, shell) => volumes[shell]! > 0);
  return bounds.every(
    (hollow, shell) =>
      volumes[shell]! >= 0 ||
      bodies.some((body) =>
        [0, 1, 2].every(
          (axis) => body.low[axis]! <= hollow.low[axis]! && hollow.high[axis]! <= body.high[axis]!,
        ),
      ),
  );
}
