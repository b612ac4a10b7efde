import { volumeGradient } from "./body.ts";
import type { WallMesh } from "./mesh/mesh.ts";
import { type Wall, wallStations } from "./mesh/wall-moves.ts";
import { bothWalls, stationSlopes } from "./sensitivity.ts";
import { type ModeGradient, modeGradient } from "./solver/gradient.ts";
import type { Mode } from "./solver/harmonic.ts";
import type { Material } from "./solver/material.ts";
import type { Answers } from "./uncertainty.ts";

/** How each mode answers to metal taken from each station of each wall, neper a metre. */
export type Slopes = Record<Wall, Float64Array>;

export interface Derivatives {
  readonly gradients: readonly ModeGradient[];
  readonly slopes: readonly Slopes[];
  /** Volume taken off at each station, m³ a metre. */
  readonly volumeSlopes: Slopes;
}

export function derivativesOf(mesh: WallMesh, material: Material, modes: readonly Mode[]): Derivatives {
  const walls = bothWalls(mesh);
  const both = (gradient: Pick<ModeGradient, "byR" | "byZ">): Slopes => ({
    outer: stationSlopes(mesh, walls.outer, gradient),
    inner: stationSlopes(mesh, walls.inner, gradient),
  });
  const gradients = modes.map((mode) => modeGradient(mesh, material, mode));
  return { gradients, slopes: gradients.map(both), volumeSlopes: both(volumeGradient(mesh)) };
}

/** Stretches of the wall whose thicknesses err independently. */
const STRETCHES = 8;

/** What the intervals are made of. Half of a thicker wall lies outside, half inside. */
export function answersOf(
  mesh: WallMesh,
  { gradients, slopes, volumeSlopes }: Derivatives,
  volumeM3: number,
  meshErrorCents: number,
): Answers {
  const thickness = thicknessM(mesh);
  const share = stretchShares(mesh);
  const even = new Float64Array(mesh.columns).fill(1);
  const thicker = (each: Slopes, where: Float64Array): number => {
    let sum = 0;
    for (let j = 0; j < mesh.columns; j++) {
      sum -= (each.outer[j]! + each.inner[j]!) * 0.5 * thickness[j]! * where[j]!;
    }
    return sum;
  };
  const all = (where: Float64Array) => Float64Array.from(slopes, (each) => thicker(each, where));
  return {
    byPoisson: Float64Array.from(gradients, ({ byPoisson }) => byPoisson),
    byEvenWall: all(even),
    byLocalWall: share.map(all),
    meshErrorCents,
    volumeByEvenWall: thicker(volumeSlopes, even) / volumeM3,
    volumeByLocalWall: share.map((where) => thicker(volumeSlopes, where) / volumeM3),
  };
}

/** Distance of the walls at each station, m. */
export function thicknessM({ columns, rows, lattice, rM, zM }: WallMesh): Float64Array {
  return Float64Array.from({ length: columns }, (_, j) => {
    const [a, b] = [lattice[j * rows]!, lattice[j * rows + rows - 1]!];
    return Math.hypot(rM[a]! - rM[b]!, zM[a]! - zM[b]!);
  });
}

/** Stretches along the inner wall that fade into each other; their sum is 1. */
export function stretchShares(mesh: WallMesh): Float64Array[] {
  const { alongM } = wallStations(mesh, "inner");
  const step = alongM.at(-1)! / (STRETCHES - 1);
  return Array.from({ length: STRETCHES }, (_, k) =>
    alongM.map((at) => Math.max(0, 1 - Math.abs(at - k * step) / step)),
  );
}
