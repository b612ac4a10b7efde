import { describe, expect, it } from "vitest";
import { gridMesh, nodeGrid } from "../../src/shape/mesh/wall-mesh.ts";
import type { Ripple } from "../../src/shape/profile/profile.ts";
import { solveHarmonic } from "../../src/shape/solver/harmonic.ts";
import { buildModel } from "../../src/shape/solver/model.ts";
import { firstOrderSplitCents } from "../../src/shape/split.ts";
import { bellProfile, MATERIAL } from "./support/bells.ts";

describe("firstOrderSplitCents", () => {
  // The small bell with a hole in its crown, as the three-dimensional model had it.
  const { outer, inner } = bellProfile("hobby");
  const from = Array.from(outer.rM).findIndex((r) => r > 0.012);
  const start = from % 2 === 0 ? from : from + 1;
  const points = ({ rM, zM }: typeof outer) =>
    Array.from(rM.subarray(start), (r, i): [number, number] => [r, zM[start + i]!]);
  const mesh = gridMesh(nodeGrid(points(outer), points(inner), 2));
  const model = buildModel(mesh, MATERIAL);
  const along = Array.from({ length: mesh.columns }, (_, j) => j / (mesh.columns - 1));
  const clip = (x: number) => Math.min(1, Math.max(0, x));
  // Its ripple of 0.2 mm fades out towards the crown and just above the lip.
  const fading = (x: number) => 2e-4 * clip((x - 0.15) / 0.1) * clip((0.98 - x) / 0.05);
  const ripple = (count: number): Ripple => ({
    wall: "outer",
    count,
    amplitudeM: 2e-4,
    phaseRad: 0,
    zM: Float64Array.from(along, (_, j) => mesh.zM[mesh.lattice[j * mesh.rows]!]!),
    amplitudeAtM: Float64Array.from(along, fading),
  });

  it.each([
    [2, 4, 22.36],
    [3, 6, 19.63],
    [4, 8, 17.58],
    [5, 10, 15.77],
  ])(
    "firstOrderSplitCents agrees with solid elements in three dimensions: m %i, %i ridges",
    (m, count, solid) => {
      const [mode] = solveHarmonic(model, m, 1);
      const split = firstOrderSplitCents(mesh, MATERIAL, mode!, ripple(count));
      // Computed with an independent 3D model. Its hole begins elsewhere by up to a station, and the fade with it: 1/80 of the
      // wall at each end, of which the lip's carries at most a few per cent.
      expect(Math.abs(Math.abs(split) / solid - 1)).toBeLessThan(0.03);
    },
  );

  it("firstOrderSplitCents is nothing where twice the waves are not the ridges", () => {
    const [mode] = solveHarmonic(model, 4, 1);
    expect(firstOrderSplitCents(mesh, MATERIAL, mode!, ripple(12))).toBe(0);
    expect(firstOrderSplitCents(mesh, MATERIAL, mode!, ripple(4))).toBe(0);
  });
});
