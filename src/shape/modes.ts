import type { WallMesh } from "./mesh/mesh.ts";
import { nodeCount } from "./mesh/mesh.ts";
import { type Mode, solveHarmonic } from "./solver/harmonic.ts";
import type { Material } from "./solver/material.ts";
import { buildModel } from "./solver/model.ts";

/** What to solve for. */
export interface ModeRequest {
  /** Waves around, each. */
  readonly harmonics: readonly number[];
  /** Modes of each. */
  readonly each: number;
  /** Within this radius the crown is held; null for a free bell. */
  readonly heldCrownM: number | null;
}

/** All modes asked for, by m and then by rising frequency. @throws InvalidShapeError */
export function solveModes(mesh: WallMesh, material: Material, request: ModeRequest): Mode[] {
  const model = buildModel(mesh, material, heldNodes(mesh, request.heldCrownM));
  return request.harmonics.flatMap((m) => solveHarmonic(model, m, request.each));
}

/** Nodes of the crown within a radius: the first half of the stations, so that a narrow mouth is never held. */
function heldNodes({ rM, lattice, rows, columns, ...mesh }: WallMesh, radiusM: number | null): Uint8Array {
  const held = new Uint8Array(nodeCount({ rM, ...mesh }));
  if (radiusM === null) return held;
  for (let at = 0; at < Math.floor(columns / 2) * rows; at++) {
    const node = lattice[at]!;
    if (node >= 0 && rM[node]! <= radiusM) held[node] = 1;
  }
  return held;
}

/**
 * Names of the trade by m and order within m. The circles that go with a name differ from bell to bell, so they are counted and
 * not named by.
 */
const NAMES: Record<string, string> = {
  "2,1": "hum",
  "2,2": "prime",
  "3,1": "tierce",
  "3,2": "quint",
  "4,1": "nominal",
  "4,2": "deciem",
  "2,3": "undeciem",
  "5,1": "superquint",
  "6,1": "octave nominal",
  "7,1": "upper fourth",
  "8,1": "upper sixth",
};

export function modeName({ m, order }: { m: number; order: number }): string | null {
  return NAMES[`${m},${order}`] ?? null;
}

/** Motion under this part of the largest is no motion whose sign could be told. */
const LEAST_MOTION = 0.02;

/** The motion square to the middle of the wall at each station, for m = 0 in torsion the motion around; any scale. */
export function wallMotion(mesh: WallMesh, { m, shape }: Mode): Float64Array {
  const { columns, rows, lattice, rM, zM } = mesh;
  const motion = new Float64Array(columns);
  const torsion = m === 0 && isTorsion(shape);
  const nodes = (j: number) => [lattice[j * rows]!, lattice[j * rows + rows - 1]!] as const;
  const middle = (j: number) => {
    const [a, b] = nodes(j);
    return [(rM[a]! + rM[b]!) / 2, (zM[a]! + zM[b]!) / 2] as const;
  };
  for (let j = 0; j < columns; j++) {
    const [r0, z0] = middle(Math.max(0, j - 1));
    const [r1, z1] = middle(Math.min(columns - 1, j + 1));
    const length = Math.hypot(r1 - r0, z1 - z0) || 1;
    const mean = (c: number) => nodes(j).reduce((sum, node) => sum + shape[3 * node + c]! / 2, 0);
    motion[j] = torsion ? mean(1) : (mean(0) * -(z1 - z0) + mean(2) * (r1 - r0)) / length;
  }
  return motion;
}

/** For m = 0 the motion is either around the axis or none of it is. */
export function isTorsion(shape: Float64Array): boolean {
  let [around, rest] = [0, 0];
  for (let k = 0; k < shape.length; k += 3) {
    around += shape[k + 1]! ** 2;
    rest += shape[k]! ** 2 + shape[k + 2]! ** 2;
  }
  return around > rest;
}

/** Circles that stand still: changes of sign along the wall. */
export function nodalCircles(motion: Float64Array): number {
  const floor = LEAST_MOTION * motion.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
  let [count, sign] = [0, 0];
  for (const value of motion) {
    if (Math.abs(value) <= floor) continue;
    if (sign !== 0 && Math.sign(value) !== sign) count++;
    sign = Math.sign(value);
  }
  return count;
}
