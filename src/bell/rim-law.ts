import type { RimLaw } from "../measurement/index.ts";

/** One rim partial: complete nodal meridians and hertz (or any frequency unit). */
export interface RimPoint {
  nodalMeridians: number;
  frequencyHz: number;
}

export type RimLawFit = Pick<RimLaw, "c" | "b" | "p" | "rmsCents">;

/** With fewer points than parameters plus one, any three frequencies fit exactly and the law says nothing. */
export const MIN_RIM_POINTS = 4;

const CENTS_PER_NEPER = 1200 / Math.LN2;
/** Nothing measured on bells lies outside: b is near -0.9 to 0 and p between 1 (a line) and 2 (a flat plate). */
const LOWEST_M_PLUS_B = 0.5;
const HIGHEST_B = 6;
const GOLDEN = (Math.sqrt(5) - 1) / 2;
const SEARCH_STEPS = 40;

interface Line {
  intercept: number;
  slope: number;
  squares: number;
}

/** Least-squares line of ln f over ln(m + b). */
function lineAt(b: number, points: readonly RimPoint[]): Line {
  let sx = 0;
  let sy = 0;
  let sxx = 0;
  let sxy = 0;
  for (const { nodalMeridians, frequencyHz } of points) {
    const x = Math.log(nodalMeridians + b);
    const y = Math.log(frequencyHz);
    sx += x;
    sy += y;
    sxx += x * x;
    sxy += x * y;
  }
  const n = points.length;
  const slope = (n * sxy - sx * sy) / (n * sxx - sx * sx);
  const intercept = (sy - slope * sx) / n;
  let squares = 0;
  for (const { nodalMeridians, frequencyHz } of points) {
    squares += (Math.log(frequencyHz) - intercept - slope * Math.log(nodalMeridians + b)) ** 2;
  }
  return { intercept, slope, squares };
}

/**
 * Fits the modified Chladni law f = C (m + b)^p to the rim partials of one bell, least squares in cents.
 *
 * For a given b the law is a straight line in logarithms, so only b is searched (golden section between
 * m + b = 0.5 at the lowest partial and b = 6); C and p follow exactly.
 *
 * Hibbert, Sharp, Taherzadeh & Perrin, Open Journal of Acoustics 4 (2014) 70-77: one relation holds between the
 * rim partials of a bell, with constants of its own for each bell.
 *
 * @returns null with fewer than four different m, or when b ends on a bound, where the points do not follow
 *   the law.
 */
export function fitRimLaw(points: readonly RimPoint[]): RimLawFit | null {
  const meridians = points.map((point) => point.nodalMeridians);
  if (new Set(meridians).size < MIN_RIM_POINTS) return null;
  const lowest = LOWEST_M_PLUS_B - Math.min(...meridians);
  let low = lowest;
  let high = HIGHEST_B;
  let left = high - GOLDEN * (high - low);
  let right = low + GOLDEN * (high - low);
  let atLeft = lineAt(left, points).squares;
  let atRight = lineAt(right, points).squares;
  for (let step = 0; step < SEARCH_STEPS; step++) {
    if (atLeft < atRight) {
      high = right;
      right = left;
      atRight = atLeft;
      left = high - GOLDEN * (high - low);
      atLeft = lineAt(left, points).squares;
    } else {
      low = left;
      left = right;
      atLeft = atRight;
      right = low + GOLDEN * (high - low);
      atRight = lineAt(right, points).squares;
    }
  }
  const b = (low + high) / 2;
  const margin = 1e-3;
  if (b < lowest + margin || b > HIGHEST_B - margin) return null;
  const { intercept, slope, squares } = lineAt(b, points);
  return {
    c: Math.exp(intercept),
    b,
    p: slope,
    rmsCents: CENTS_PER_NEPER * Math.sqrt(squares / points.length),
  };
}

/** Frequency the law gives for m complete nodal meridians, in the unit it was fitted in. */
export function rimFrequency(law: RimLawFit, nodalMeridians: number): number {
  return law.c * (nodalMeridians + law.b) ** law.p;
}
