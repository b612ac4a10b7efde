import type { WallMesh } from "../mesh/mesh.ts";
import { thinned } from "../mesh/wall-moves.ts";
import { type Band, bandCentsPerM, bothWalls, CENTS_PER_NEPER, stationSlopes } from "../sensitivity.ts";
import { modeGradient } from "../solver/gradient.ts";
import { type Mode, solveHarmonic } from "../solver/harmonic.ts";
import type { Material } from "../solver/material.ts";
import { buildModel } from "../solver/model.ts";
import type { Target } from "../targets.ts";

/** What the drawn bell does when it is cut. */
export interface Answer {
  /** Cents that each target has moved. */
  readonly movedCents: number[];
  /** Cents for each further millimetre of each band, target by target. */
  readonly centsPerMm: number[][];
}

/** The mode of each target. @throws InvalidShapeError where the equations cannot be solved */
export function targetModes(mesh: WallMesh, material: Material, targets: readonly Target[]): Mode[] {
  const model = buildModel(mesh, material);
  const waves = [...new Set(targets.map(({ m }) => m))];
  const modes = waves.flatMap((m) =>
    solveHarmonic(
      model,
      m,
      Math.max(...targets.filter((target) => target.m === m).map(({ order }) => order)),
    ),
  );
  return targets.map(({ m, order }) => modes.find((mode) => mode.m === m && mode.order === order)!);
}

/** Answers to depths, mm a band; the partials are solved for anew, so that a deep cut is not judged by a straight line. */
export function answering(
  mesh: WallMesh,
  material: Material,
  targets: readonly Target[],
  bands: readonly Band[],
): (depthMm: readonly number[]) => Answer {
  const drawn = targetModes(mesh, material, targets).map(({ frequencyHz }) => frequencyHz);
  const walls = bothWalls(mesh);
  return (depthMm) => {
    let cut = mesh;
    for (const wall of ["outer", "inner"] as const) {
      const depthM = new Float64Array(mesh.columns);
      bands.forEach((band, k) => {
        if (band.wall !== wall) return;
        for (let j = 0; j < depthM.length; j++) depthM[j]! += 1e-3 * depthMm[k]! * band.depth[j]!;
      });
      cut = thinned(cut, walls[wall], depthM);
    }
    const modes = targetModes(cut, material, targets);
    return {
      movedCents: modes.map(({ frequencyHz }, i) => CENTS_PER_NEPER * Math.log(frequencyHz / drawn[i]!)),
      // Along the drawn bell's normals, as the depths are.
      centsPerMm: modes.map((mode) => {
        const gradient = modeGradient(cut, material, mode);
        const slopes = {
          outer: stationSlopes(cut, walls.outer, gradient),
          inner: stationSlopes(cut, walls.inner, gradient),
        };
        return bands.map((band) => 1e-3 * bandCentsPerM(slopes[band.wall], band));
      }),
    };
  };
}
