import type { WallMesh } from "./mesh/mesh.ts";
import { meshProfile, type PairedProfile } from "./mesh/wall-mesh.ts";
import { type ModeRequest, solveModes } from "./modes.ts";
import { CENTS_PER_NEPER } from "./sensitivity.ts";
import type { Mode } from "./solver/harmonic.ts";
import type { Material } from "./solver/material.ts";

/** Elements along the wall and through it; each half again as fine as the one before. */
const FINENESS: readonly (readonly [along: number, through: number])[] = [
  [40, 2],
  [60, 3],
  [90, 4],
  [120, 5],
];
/** The mesh is fine enough when no frequency errs by more, cents. */
const ENOUGH_CENTS = 0.5;
/** Frequencies of this element converge as the fourth power of its size. */
const ORDER = 4;

export interface Refined {
  readonly mesh: WallMesh;
  readonly along: number;
  readonly through: number;
  readonly modes: Mode[];
  /** Estimated error of each mode's frequency by the mesh, cents, always positive. */
  readonly errorCents: number[];
}

/**
 * Modes on a mesh that is refined until its error is under half a cent. The error is judged by what the last refinement
 * changed (Richardson's rule for a method of fourth order).
 *
 * @throws InvalidShapeError
 */
export function solveRefined(paired: PairedProfile, material: Material, request: ModeRequest): Refined {
  let before: Mode[] | null = null;
  let best: Refined | null = null;
  for (let level = 0; level < FINENESS.length; level++) {
    const [along, through] = FINENESS[level]!;
    const mesh = meshProfile(paired, along, through);
    const modes = solveModes(mesh, material, request);
    if (before !== null) {
      const errorCents = errorsOf(before, modes, through / FINENESS[level - 1]![1]);
      best = { mesh, along, through, modes, errorCents };
      if (Math.max(0, ...errorCents) < ENOUGH_CENTS) break;
    }
    before = modes;
  }
  return best!;
}

function errorsOf(coarse: Mode[], fine: Mode[], ratio: number): number[] {
  return fine.map(({ m, order, frequencyHz }) => {
    const same = coarse.find((mode) => mode.m === m && mode.order === order)!;
    const change = CENTS_PER_NEPER * Math.log(frequencyHz / same.frequencyHz);
    return Math.abs(change) / (ratio ** ORDER - 1);
  });
}
