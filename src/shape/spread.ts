import type { Estimate } from "../measurement/index.ts";

/** What a forecast rests on, and how far each may be off: standard deviations, relative unless the name says otherwise. */
export interface Spread {
  readonly young: number;
  readonly density: number;
  /** Of Poisson's ratio itself. */
  readonly poisson: number;
  /** Of every length. */
  readonly size: number;
  /** Of the wall's thickness, the same everywhere. */
  readonly evenWall: number;
  /** Of the wall's thickness here and there, over an eighth of its length. */
  readonly localWall: number;
  /** Of the casting against others of the same pattern, everywhere and here and there. */
  readonly castEvenWall: number;
  readonly castLocalWall: number;
  /** Of the air that moves with the bell, cents. */
  readonly airCents: number;
}

/** Two standard deviations to 95 %. */
export const SD_TO_CI95 = 1.96;

/**
 * Judgement, no source: sand castings from a pattern hold their walls to about 2 % evenly and 3 % locally, castings of one
 * pattern differ by 0.7 % and 1 %, contraction by 0.2 % of length; air stays within 2 cents (exterior of an infinite
 * cylinder, computed, less than 0.6; a closed tube within, 3.8).
 */
export const USUAL_SPREAD: Omit<Spread, "young" | "density" | "poisson"> = {
  size: 0.002,
  evenWall: 0.02,
  localWall: 0.03,
  castEvenWall: 0.007,
  castLocalWall: 0.01,
  airCents: 1,
};

/** The wall was measured on the casting and drawn as measured. */
export function measuredWalls(share: number): Pick<Spread, "size" | "evenWall" | "localWall"> {
  return { size: 0.0005, evenWall: share, localWall: 2 * share };
}

/** The metal's part of a spread from values with 95 % intervals. */
export function metalSpread(metal: {
  youngGPa: Estimate;
  densityKgM3: Estimate;
  poisson: Estimate;
}): Pick<Spread, "young" | "density" | "poisson"> {
  return {
    young: metal.youngGPa.ci95 / metal.youngGPa.value / SD_TO_CI95,
    density: metal.densityKgM3.ci95 / metal.densityKgM3.value / SD_TO_CI95,
    poisson: metal.poisson.ci95 / SD_TO_CI95,
  };
}
