import { describe, expect, it } from "vitest";
import { thinned } from "../../../src/shape/mesh/wall-moves.ts";
import { solveModes } from "../../../src/shape/modes.ts";
import {
  bandCentsPerM,
  bothWalls,
  CENTS_PER_NEPER,
  stationSlopes,
  wallBands,
} from "../../../src/shape/sensitivity.ts";
import { modeGradient } from "../../../src/shape/solver/gradient.ts";
import { bellMesh, MATERIAL } from "../support/bells.ts";

const REQUEST = { harmonics: [0, 1, 2, 3, 5, 9], each: 2, heldCrownM: null };

describe("modeGradient", () => {
  const mesh = bellMesh("church");
  const modes = solveModes(mesh, MATERIAL, REQUEST);
  const gradients = modes.map((mode) => modeGradient(mesh, MATERIAL, mode));
  const walls = bothWalls(mesh);

  it.each(["inner", "outer"] as const)(
    "modeGradient tells what solving anew gives after metal is taken off, to a thousandth: %s wall",
    (wall) => {
      const bands = wallBands(walls[wall], 8);
      for (const [k, band] of bands.entries()) {
        const step = 1e-5;
        const [thin, thick] = [step, -step].map((depth) =>
          solveModes(
            thinned(
              mesh,
              walls[wall],
              band.depth.map((each) => depth * each),
            ),
            MATERIAL,
            REQUEST,
          ),
        ) as [typeof modes, typeof modes];
        modes.forEach(({ m, order }, at) => {
          const slope = bandCentsPerM(stationSlopes(mesh, walls[wall], gradients[at]!), band);
          const anew =
            (CENTS_PER_NEPER * Math.log(thin[at]!.frequencyHz / thick[at]!.frequencyHz)) / (2 * step);
          // A tenth of a per cent, or what rounding in two solutions leaves: 1e-12 of a frequency over the step.
          const rounding = (2 * CENTS_PER_NEPER * 1e-11) / step;
          expect(Math.abs(slope - anew), `m ${m} order ${order} band ${k}`).toBeLessThan(
            1e-3 * Math.abs(anew) + rounding,
          );
        });
      }
    },
  );

  it("modeGradient tells what Poisson's ratio does", () => {
    const [low, high] = [-1e-4, 1e-4].map((step) =>
      solveModes(mesh, { ...MATERIAL, poisson: MATERIAL.poisson + step }, REQUEST),
    ) as [typeof modes, typeof modes];
    gradients.forEach(({ byPoisson }, at) => {
      expect(byPoisson).toBeCloseTo(Math.log(high[at]!.frequencyHz / low[at]!.frequencyHz) / 2e-4, 5);
    });
  });

  it("modeGradient keeps the pitch times the size: all coordinates larger by a part lower it by that part", () => {
    gradients.forEach(({ byR, byZ }) => {
      let sum = 0;
      for (let k = 0; k < byR.length; k++) sum += byR[k]! * mesh.rM[k]! + byZ[k]! * mesh.zM[k]!;
      expect(sum).toBeCloseTo(-1, 8);
    });
  });
});
