import type { Estimate } from "../../measurement/index.ts";
import { stretchShares, thicknessM } from "../answers.ts";
import { InvalidShapeError } from "../error.ts";
import type { WallMesh } from "../mesh/mesh.ts";
import { thinned } from "../mesh/wall-moves.ts";
import { bothWalls, CENTS_PER_NEPER, stationSlopes } from "../sensitivity.ts";
import { modeGradient } from "../solver/gradient.ts";
import type { Material } from "../solver/material.ts";
import { SD_TO_CI95 } from "../spread.ts";
import type { Target } from "../targets.ts";
import { posterior } from "../update.ts";
import { targetModes } from "./answer.ts";

/** How far a casting's wall is off its drawing before it is tuned: everywhere, and here and there (judgement, no source). */
const EVEN = 0.03;
const LOCAL = 0.03;
/** The note of an alloy, or of a casting of another size, which moves all partials alike, cents. */
const METAL_CENTS = 600;
/** A wall further off its drawing than this is another bell's. */
const MOST_OFF = 0.3;
/** What a model of even walls cannot follow, cents. */
const REST_CENTS = 1;
const ROUNDS = 2;

/**
 * The drawn bell with its inner wall moved so that it sounds as the casting does: of all such walls the likeliest. Its answers
 * to a cut are nearer to the casting's than the drawing's are.
 *
 * @throws InvalidShapeError where no such walls are near the drawn ones
 */
export function fittedMesh(
  drawn: WallMesh,
  material: Material,
  targets: readonly Target[],
  measured: ReadonlyMap<string, Estimate>,
): WallMesh {
  const thickness = thicknessM(drawn);
  const shares = stretchShares(drawn);
  const inner = bothWalls(drawn).inner;
  const unknowns = shares.length + 2;
  let mesh = drawn;
  let thicker = new Float64Array(drawn.columns);
  for (let round = 0; round < ROUNDS; round++) {
    const modes = targetModes(mesh, material, targets);
    const rows = modes.map((mode) => {
      const slopes = stationSlopes(mesh, inner, modeGradient(mesh, material, mode));
      const cents = (where: (j: number) => number): number => {
        let sum = 0;
        for (let j = 0; j < drawn.columns; j++) sum -= slopes[j]! * thickness[j]! * where(j);
        return CENTS_PER_NEPER * sum;
      };
      return [METAL_CENTS, EVEN * cents(() => 1), ...shares.map((share) => LOCAL * cents((j) => share[j]!))];
    });
    const already = rows.map(
      (_, i) => CENTS_PER_NEPER * linear(modes[i]!, mesh, material, thicker, thickness),
    );
    const seen = modes.map(
      ({ frequencyHz }, i) =>
        CENTS_PER_NEPER * Math.log(measured.get(targets[i]!.name)!.value / frequencyHz) + already[i]!,
    );
    const noise = targets.map(({ name }) => {
      const { value, ci95 } = measured.get(name)!;
      return (CENTS_PER_NEPER * (ci95 / value / SD_TO_CI95)) ** 2 + REST_CENTS ** 2;
    });
    const { mean } = posterior(unknowns, rows, noise, seen);
    thicker = Float64Array.from(
      { length: drawn.columns },
      (_, j) => EVEN * mean[1]! + LOCAL * shares.reduce((sum, share, k) => sum + share[j]! * mean[k + 2]!, 0),
    );
    if (thicker.some((each) => !(Math.abs(each) < MOST_OFF))) {
      throw new InvalidShapeError(
        "the measured partials are too far from this profile's for a casting of it; look whether bell and profile belong together and whether the partials are named rightly",
      );
    }
    mesh = thinned(
      drawn,
      inner,
      thicker.map((each, j) => -each * thickness[j]!),
    );
  }
  return mesh;
}

/** What the walls found so far do to a mode by its slopes now, neper: taken back before all is found anew. */
function linear(
  mode: Parameters<typeof modeGradient>[2],
  mesh: WallMesh,
  material: Material,
  thicker: Float64Array,
  thickness: Float64Array,
): number {
  const slopes = stationSlopes(mesh, bothWalls(mesh).inner, modeGradient(mesh, material, mode));
  let sum = 0;
  for (let j = 0; j < slopes.length; j++) sum -= slopes[j]! * thickness[j]! * thicker[j]!;
  return sum;
}
