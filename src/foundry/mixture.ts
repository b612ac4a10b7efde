import { type Composition, elementOf } from "./composition.ts";

/**
 * Density of an ideal mixture, the volumes of the elements simply added: 1 / sum(w / rho). Copper and tin draw
 * together a little as they alloy, so castings listed on data sheets are up to 2.5 % denser than this.
 *
 * @throws InvalidPlanError for an element without data.
 */
export function mixtureDensityKgM3(composition: Composition): number {
  let volumePerKg = 0;
  for (const [symbol, fraction] of Object.entries(composition)) {
    volumePerKg += fraction / elementOf(symbol).densityKgM3;
  }
  return 1 / volumePerKg;
}
