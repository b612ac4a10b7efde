import { thicknessM } from "./answers.ts";
import type { WallMesh } from "./mesh/mesh.ts";
import type { Ripple } from "./profile/profile.ts";
import type { ForecastDoublet } from "./result.ts";
import { CENTS_PER_NEPER } from "./sensitivity.ts";
import type { Mode } from "./solver/harmonic.ts";
import type { Material } from "./solver/material.ts";
import { firstOrderRelative, firstOrderSplitCents, SECOND_ORDER_CENTS } from "./split.ts";

/** Splits below this are nothing that could be heard or measured, cents. */
const LEAST_CENTS = 0.01;

/** What ripples split, and by how much. */
export function doubletsOf(
  mesh: WallMesh,
  material: Material,
  modes: readonly Mode[],
  ripples: readonly Ripple[],
): ForecastDoublet[] {
  const thickness = thicknessM(mesh);
  const meanM = thickness.reduce((sum, each) => sum + each, 0) / thickness.length;
  return ripples.flatMap((ripple) =>
    modes.flatMap((mode, at): ForecastDoublet[] => {
      if (mode.m === 0) return [];
      const share = Math.abs(ripple.amplitudeM) / meanM;
      const doublet = { mode: at, ridges: ripple.count, wall: ripple.wall };
      const hz = (cents: number) => (cents / CENTS_PER_NEPER) * mode.frequencyHz;
      if (ripple.count === 2 * mode.m) {
        const cents = firstOrderSplitCents(mesh, material, mode, ripple);
        const size = Math.abs(cents);
        if (size < LEAST_CENTS) return [];
        const ci95 = size * firstOrderRelative(share);
        // With the ripple's own phase turned by half a wave the crests lie where the hollows were.
        const crestsHigher = cents > 0;
        return [
          {
            ...doublet,
            theory: "first order",
            splitCents: { value: size, ci95 },
            splitHz: { value: hz(size), ci95: hz(ci95) },
            lowerAntinodes: crestsHigher ? "between the ridges" : "on the ridges",
          },
        ];
      }
      if (ripple.count !== mode.m) return [];
      const cents = SECOND_ORDER_CENTS * share ** 2;
      if (cents < LEAST_CENTS) return [];
      return [
        {
          ...doublet,
          theory: "second order",
          splitCents: { value: cents, ci95: cents },
          splitHz: { value: hz(cents), ci95: hz(cents) },
          lowerAntinodes: null,
        },
      ];
    }),
  );
}
