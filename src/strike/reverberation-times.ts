import type { Estimate, Sustain } from "../measurement/index.ts";
import { studentT975, widening } from "./correlated.ts";
import type { DecayCurve } from "./decay-curve.ts";

/** Parts of a range whose slopes are compared, and the parameters of the bend that they may share. */
const PARTS = 12;
const BEND_PARAMETERS = 3;
/** ISO 3382-1: the lower end of a range lies at least this far over the noise. */
const OVER_NOISE_DB = 10;
/** The power at the lower end is that of the last decibels of the range. */
const LOWER_END_DB = 2;

/**
 * ISO 3382 times of a decay curve: straight lines through 0 to -10 dB (EDT), -5 to -25 dB (T20), -5 to -35 dB (T30), each scaled to 60 dB.
 * A range that does not end 10 dB over the noise, or over what lies beyond the end of the record, gives null.
 *
 * `t60S` is the best available: T30, else T20, else EDT. `audibleS` is the time from the strike until the short-time level of the
 * whole sound meets the noise.
 *
 * The intervals hold the scatter of the slope along the range about a smooth bend (twelve parts, their correlation allowed for), so that
 * a curve that beats gets a wide one while one that merely bends does not, and the uncertainty of the noise level and of the energy
 * beyond the end.
 */
export function reverberationTimes(curve: DecayCurve): Sustain {
  const edtS = timeOver(curve, 0, -10);
  const t20S = timeOver(curve, -5, -25);
  const t30S = timeOver(curve, -5, -35);
  return { t60S: t30S ?? t20S ?? edtS, edtS, t20S, t30S, audibleS: curve.meetsNoiseS };
}

function timeOver(curve: DecayCurve, topDb: number, bottomDb: number): Estimate | null {
  if (curve.beyondDb > bottomDb - OVER_NOISE_DB) return null;
  const { levelDb, levelLowDb, levelHighDb, stepS } = curve;
  const from = firstAtOrUnder(levelDb, topDb);
  const to = firstAtOrUnder(levelDb, bottomDb);
  if (from === null || to === null || to - from < PARTS) return null;
  if (powerDb(levelDb, to, bottomDb) < curve.noiseDb + OVER_NOISE_DB) return null;
  const slope = slopeOf(levelDb, from, to);
  if (slope >= 0) return null;
  const value = (-60 / slope) * stepS;
  const scatter = slopeScatter(levelDb, from, to) / -slope;
  const noise = (slopeOf(levelHighDb, from, to) - slopeOf(levelLowDb, from, to)) / 2 / -slope;
  return { value, ci95: value * Math.hypot(scatter, noise) };
}

function firstAtOrUnder(levelDb: Float64Array, db: number): number | null {
  const i = levelDb.findIndex((level) => level <= db);
  return i < 0 ? null : i;
}

/** Energy per step just above the lower end of a range, dB relative to all energy. */
function powerDb(levelDb: Float64Array, to: number, bottomDb: number): number {
  const from = firstAtOrUnder(levelDb, bottomDb + LOWER_END_DB) ?? to;
  const energy = 10 ** (levelDb[from] / 10) - 10 ** (levelDb[to] / 10);
  return 10 * Math.log10(energy / Math.max(1, to - from));
}

/** Slope of the straight line through values [from, to], per step. */
function slopeOf(level: Float64Array, from: number, to: number): number {
  const middle = (from + to) / 2;
  let sxx = 0;
  let sxy = 0;
  for (let i = from; i <= to; i++) {
    sxx += (i - middle) ** 2;
    sxy += (i - middle) * level[i];
  }
  return sxy / sxx;
}

/**
 * 95 % half-width of that slope. The slope of a straight line is the mean of the slopes along it, those in the middle weighing most
 * (6 u (1 - u) for u from 0 to 1 along the range). How far the slopes of equal parts lie off a parabola is their scatter: a straight
 * line through a bent decay is what the standard asks for, and the bend is not an error of it.
 */
function slopeScatter(level: Float64Array, from: number, to: number): number {
  const slopes = new Float64Array(PARTS);
  let share = 0;
  for (let p = 0; p < PARTS; p++) {
    const a = Math.round(from + ((to - from) * p) / PARTS);
    const b = Math.round(from + ((to - from) * (p + 1)) / PARTS);
    const u = (p + 0.5) / PARTS;
    slopes[p] = (level[b] - level[a]) / (b - a);
    share += ((6 * u * (1 - u)) / PARTS) ** 2;
  }
  const residuals = aboutParabola(slopes);
  const degrees = PARTS - BEND_PARAMETERS;
  const variance = residuals.reduce((sum, r) => sum + r * r, 0) / degrees;
  return studentT975(degrees) * Math.sqrt(variance * share) * widening(residuals);
}

/** Residuals of equally spaced values about their least-squares parabola, by polynomials orthogonal on the grid. */
function aboutParabola(values: Float64Array): Float64Array {
  const v = values.map((_, i) => i - (values.length - 1) / 2);
  const meanSquare = v.reduce((sum, x) => sum + x * x, 0) / v.length;
  let residuals = values.slice();
  for (const basis of [v.map(() => 1), v, v.map((x) => x * x - meanSquare)]) {
    let power = 0;
    let shared = 0;
    for (let i = 0; i < v.length; i++) {
      power += basis[i] * basis[i];
      shared += basis[i] * values[i];
    }
    residuals = residuals.map((r, i) => r - (shared / power) * basis[i]);
  }
  return residuals;
}
