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
  /** Estimated largest error of any mode's frequency by the mesh, cents. */
  readonly errorCents: number;
}

/**
 * Modes on a mesh that is refined until its error is under half a cent. The error is judged by what the last refinement
 * changed (Richardson's rule for a method of fourth order) in a few harmonics, the first, the last and two waves: it rises
 * slowly with the waves around, so the largest of them stands for all.
 *
 * @throws InvalidShapeError
 */
export function solveRefined(paired: PairedProfile, material: Material, request: ModeRequest): Refined {
  const { harmonics } = request;
  const judged = [
    ...new Set([harmonics[0]!, harmonics.find((m) => m >= 2) ?? harmonics[0]!, harmonics.at(-1)!]),
  ];
  const [along, through] = FINENESS[0]!;
  let before = solveModes(meshProfile(paired, along, through), material, { ...request, harmonics: judged });
  for (let level = 1; ; level++) {
    const [along, through] = FINENESS[level]!;
    const mesh = meshProfile(paired, along, through);
    const modes = solveModes(mesh, material, request);
    const errorCents = worstCents(before, modes, through / FINENESS[level - 1]![1]);
    if (errorCents < ENOUGH_CENTS || level === FINENESS.length - 1) {
      return { mesh, along, through, modes, errorCents };
    }
    before = modes;
  }
}

function worstCents(coarse: Mode[], fine: Mode[], ratio: number): number {
  const changes = coarse.map(({ m, order, frequencyHz }) => {
    const same = fine.find((mode) => mode.m === m && mode.order === order)!;
    return Math.abs(CENTS_PER_NEPER * Math.log(same.frequencyHz / frequencyHz));
  });
  return Math.max(...changes) / (ratio ** ORDER - 1);
}
