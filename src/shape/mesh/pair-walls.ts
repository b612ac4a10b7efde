import { type Curve, crossing, lengthM, pointAt } from "./curve.ts";
import type { Walls } from "./lip.ts";

/**
 * Which place of the inner wall faces which of the outer: places along each, m, at even steps of the way along the middle of
 * the wall. Found once and at one fineness, so that a finer mesh is one of the same body.
 */
export interface Pairing {
  readonly outerM: Float64Array;
  readonly innerM: Float64Array;
}

const STEPS = 160;
const ROUNDS = 12;
/** How far each round goes towards square crossings. */
const RELAX = 0.5;
/** Towards the ends, which are fixed, the pull fades over this part of the wall. */
const FADE = 0.08;
/** Least step, as a part of an even one: no two stations fall together. */
const LEAST_STEP = 0.05;

/** Pairs the walls so that lines across stand square on the middle of the wall, the ends staying where they are. */
export function pairWalls({ outer, inner }: Walls): Pairing {
  let outerM = evenPlaces(lengthM(outer));
  let innerM = evenPlaces(lengthM(inner));
  for (let round = 0; round < ROUNDS; round++) {
    const r = new Float64Array(STEPS + 1);
    const z = new Float64Array(STEPS + 1);
    middle(outer, inner, outerM, innerM, r, z);
    const nextOuter = outerM.slice();
    const nextInner = innerM.slice();
    for (let j = 1; j < STEPS; j++) {
      const [dr, dz] = [-(z[j + 1]! - z[j - 1]!), r[j + 1]! - r[j - 1]!];
      const pull = RELAX * Math.min(1, Math.min(j, STEPS - j) / (FADE * STEPS));
      nextOuter[j]! += pull * towards(outer, r[j]!, z[j]!, dr, dz, outerM[j]!);
      nextInner[j]! += pull * towards(inner, r[j]!, z[j]!, dr, dz, innerM[j]!);
    }
    [outerM, innerM] = [rising(calmed(nextOuter)), rising(calmed(nextInner))];
    middle(outer, inner, outerM, innerM, r, z);
    [outerM, innerM] = respaced(outerM, innerM, r, z);
  }
  return { outerM, innerM };
}

function evenPlaces(totalM: number): Float64Array {
  return Float64Array.from({ length: STEPS + 1 }, (_, j) => (j / STEPS) * totalM);
}

function middle(
  outer: Curve,
  inner: Curve,
  outerM: Float64Array,
  innerM: Float64Array,
  r: Float64Array,
  z: Float64Array,
): void {
  for (let j = 0; j <= STEPS; j++) {
    const [outerR, outerZ] = pointAt(outer, outerM[j]!);
    const [innerR, innerZ] = pointAt(inner, innerM[j]!);
    r[j] = (outerR + innerR) / 2;
    z[j] = (outerZ + innerZ) / 2;
  }
}

function towards(curve: Curve, r: number, z: number, dr: number, dz: number, atM: number): number {
  const hit = crossing(curve, r, z, dr, dz, atM);
  return hit === null ? 0 : hit - atM;
}

/** Running mean over five of what departs from even steps, so that no station is thrown about by a bend. */
function calmed(places: Float64Array): Float64Array {
  const last = places[STEPS]!;
  const departure = (j: number): number => {
    if (j < 0) return -departure(-j);
    if (j > STEPS) return -departure(2 * STEPS - j);
    return places[j]! - (j / STEPS) * last;
  };
  return places.map((_, j) => {
    let sum = 0;
    for (let k = -2; k <= 2; k++) sum += departure(j + k);
    return j === 0 || j === STEPS ? places[j]! : (j / STEPS) * last + sum / 5;
  });
}

function rising(places: Float64Array): Float64Array {
  const last = places[STEPS]!;
  let highest = 0;
  return places.map((place, j) => {
    highest = Math.max(highest, Math.min(last, Math.max(0, place)));
    if (j === 0 || j === STEPS) return place;
    return (1 - LEAST_STEP) * highest + LEAST_STEP * (j / STEPS) * last;
  });
}

function respaced(
  outerM: Float64Array,
  innerM: Float64Array,
  r: Float64Array,
  z: Float64Array,
): [Float64Array, Float64Array] {
  const way = new Float64Array(STEPS + 1);
  for (let j = 1; j <= STEPS; j++) way[j] = way[j - 1]! + Math.hypot(r[j]! - r[j - 1]!, z[j]! - z[j - 1]!);
  const places = evenPlaces(way[STEPS]!);
  return [interpolated(way, outerM, places), interpolated(way, innerM, places)];
}

/** Straight between the points of (x, y), x rising. */
export function interpolated(x: Float64Array, y: Float64Array, at: Float64Array): Float64Array {
  let i = 0;
  return at.map((place) => {
    while (i < x.length - 2 && x[i + 1]! < place) i++;
    while (i > 0 && x[i]! > place) i--;
    const step = x[i + 1]! - x[i]!;
    const t = step > 0 ? (place - x[i]!) / step : 0;
    return y[i]! + Math.min(1, Math.max(0, t)) * (y[i + 1]! - y[i]!);
  });
}
