import type { Profile as RatioProfile } from "../bell/index.ts";
import { InvalidShapeError } from "./error.ts";

/** A partial that has a wanted ratio. */
export interface Target {
  readonly name: string;
  readonly m: number;
  /** From 1 within m. */
  readonly order: number;
  readonly ratio: number;
}

/** Partials that most careful recordings show, and that a wall can be shaped for. */
const LEAST_PRESENCE = 0.6;
const MOST_WAVES = 4;

/**
 * The partials that a profile of ratios tells the waves of; order counts those of one m, since such a profile rises in ratio.
 */
export function targetsOf({ partials }: RatioProfile): Target[] {
  const seen = new Map<number, number>();
  return partials.flatMap(({ name, nodalMeridians: m, ratio }) => {
    if (m === null) return [];
    const order = (seen.get(m) ?? 0) + 1;
    seen.set(m, order);
    return [{ name, m, order, ratio }];
  });
}

/** Those that design and tuning aim at. @throws InvalidShapeError where fewer than two are left */
export function aimedTargets(profile: RatioProfile): Target[] {
  const usual = new Set(
    profile.partials.filter(({ presence }) => presence >= LEAST_PRESENCE).map(({ name }) => name),
  );
  const aimed = targetsOf(profile).filter(({ name, m }) => usual.has(name) && m >= 2 && m <= MOST_WAVES);
  if (aimed.length < 2) {
    throw new InvalidShapeError(
      `the ratios of ${profile.id} tell the waves (nodalMeridians) of fewer than two partials from 2 to ${MOST_WAVES}; give ratios that do`,
    );
  }
  return aimed;
}

/** The one that ratios are measured from: the first of the profile's references that is there. */
export function referenceTarget(profile: RatioProfile, targets: readonly Target[]): Target {
  for (const name of profile.reference) {
    const found = targets.find((target) => target.name === name);
    if (found !== undefined) return found;
  }
  return targets[0]!;
}
