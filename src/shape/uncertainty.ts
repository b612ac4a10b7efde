import { CENTS_PER_NEPER } from "./sensitivity.ts";
import { SD_TO_CI95, type Spread } from "./spread.ts";

/** One thing that is not exactly known. */
export interface Cause {
  readonly id: "young" | "density" | "poisson" | "size" | "wall" | "mesh" | "air";
  /** By how many cents one standard deviation of it moves each partial; with sign, since causes move partials together. */
  readonly cents: Float64Array;
  /** And the logarithm of the mass. */
  readonly logMass: number;
  /** Whether the next casting of the same pattern in the same metal has the same value of it. */
  readonly lasts: boolean;
}

/** How the partials answer to what may be off. */
export interface Answers {
  readonly byPoisson: Float64Array;
  /** Neper for a wall thicker by the fraction 1, everywhere and over each of a few stretches. */
  readonly byEvenWall: Float64Array;
  readonly byLocalWall: readonly Float64Array[];
  readonly meshErrorCents: number;
  /** The same for the logarithm of the volume. */
  readonly volumeByEvenWall: number;
  readonly volumeByLocalWall: readonly number[];
}

/** All causes of a forecast, each independent of the others. */
export function causesOf(answers: Answers, spread: Spread): Cause[] {
  const count = answers.byPoisson.length;
  const each = Array.from({ length: count }, (_, at) => at);
  const even = (cents: number) => new Float64Array(count).fill(cents);
  const scaled = (neper: Float64Array, by: number) => neper.map((each) => CENTS_PER_NEPER * by * each);
  const cause = (id: Cause["id"], cents: Float64Array, logMass = 0, lasts = true): Cause => ({
    id,
    cents,
    logMass,
    lasts,
  });
  const walls = (evenWall: number, localWall: number, lasts: boolean): Cause[] => [
    cause("wall", scaled(answers.byEvenWall, evenWall), evenWall * answers.volumeByEvenWall, lasts),
    ...answers.byLocalWall.map((local, at) =>
      cause("wall", scaled(local, localWall), localWall * answers.volumeByLocalWall[at]!, lasts),
    ),
  ];
  const single = (id: Cause["id"], at: number, cents: number): Cause => {
    const only = new Float64Array(count);
    only[at] = cents;
    return cause(id, only, 0, true);
  };
  return [
    cause("young", even(0.5 * CENTS_PER_NEPER * spread.young)),
    cause("density", even(-0.5 * CENTS_PER_NEPER * spread.density), spread.density),
    cause("poisson", scaled(answers.byPoisson, spread.poisson)),
    cause("size", even(-CENTS_PER_NEPER * spread.size), 3 * spread.size),
    ...walls(spread.evenWall, spread.localWall, true),
    ...walls(spread.castEvenWall, spread.castLocalWall, false),
    // The mesh errs by up to what was judged: evenly spread, so its deviation is less by the square root of three.
    ...each.map((at) => single("mesh", at, answers.meshErrorCents / Math.sqrt(3))),
    ...each.map((at) => single("air", at, spread.airCents)),
  ];
}

/** The causes with what is known of them by now. */
export interface Knowledge {
  readonly causes: readonly Cause[];
  /** Row by row, in standard deviations of each; null where they are as independent as before anything was measured. */
  readonly covariance: Float64Array | null;
}

/** What goes with each cause of a weighted sum of them, adding up to its variance. */
function varianceParts({ causes, covariance }: Knowledge, weight: (cause: Cause) => number): number[] {
  const weights = causes.map(weight);
  if (covariance === null) return weights.map((each) => each * each);
  const count = causes.length;
  return weights.map((own, i) => {
    let sum = 0;
    for (let j = 0; j < count; j++) sum += covariance[i * count + j]! * weights[j]!;
    return own * sum;
  });
}

function halfWidth(knowledge: Knowledge, weight: (cause: Cause) => number): number {
  const variance = varianceParts(knowledge, weight).reduce((sum, part) => sum + part, 0);
  return SD_TO_CI95 * Math.sqrt(Math.max(0, variance));
}

/** 95 % half-width of one partial, cents. */
export function halfWidthCents(knowledge: Knowledge, at: number): number {
  return halfWidth(knowledge, ({ cents }) => cents[at]!);
}

/** 95 % half-width of the interval between two partials, cents: what they have in common is gone. */
export function ratioHalfWidthCents(knowledge: Knowledge, at: number, to: number): number {
  return halfWidth(knowledge, ({ cents }) => cents[at]! - cents[to]!);
}

/** Relative 95 % half-width of the mass, or of the volume. */
export function massRelativeCi95(knowledge: Knowledge, of: "mass" | "volume"): number {
  return halfWidth(knowledge, ({ id, logMass }) => (of === "volume" && id === "density" ? 0 : logMass));
}

/** Which part of one partial's variance comes from what, adding up to 1. */
export function sharesOf(knowledge: Knowledge, at: number): Record<Cause["id"], number> {
  const shares = { young: 0, density: 0, poisson: 0, size: 0, wall: 0, mesh: 0, air: 0 };
  const parts = varianceParts(knowledge, ({ cents }) => cents[at]!);
  // What was measured together can leave a cause with less than nothing of its own: then it has none.
  knowledge.causes.forEach(({ id }, i) => {
    shares[id] += parts[i]!;
  });
  const ids = Object.keys(shares) as Cause["id"][];
  const total = ids.reduce((sum, id) => sum + Math.max(0, shares[id]), 0);
  for (const id of ids) shares[id] = total > 0 ? Math.max(0, shares[id]) / total : 0;
  return shares;
}
