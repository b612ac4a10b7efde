import type { Estimate } from "../measurement/index.ts";
import data from "./data/scaling-laws.json" with { type: "json" };
import { InvalidPlanError } from "./error.ts";
import { quadrature, relativeCi95, studentT95, withRelative } from "./estimate.ts";

/** A power law between frequency and a length: f ~ length^-exponent overall, f ~ length^exponent for the wall. */
export interface ScalingLaw {
  exponent: Estimate;
  /** The law and where it comes from, in words. */
  source: string;
}

function lawOf(entry: {
  value: number;
  ci95: number;
  law: string;
  source: string;
  width: string;
}): ScalingLaw {
  return {
    exponent: { value: entry.value, ci95: entry.ci95 },
    source: `${entry.law} (${entry.source}; width of the interval: ${entry.width})`,
  };
}

/** The whole bell larger or smaller. */
export const OVERALL_LAW: ScalingLaw = lawOf(data.overallExponent);
/** The wall thicker or thinner, diameter and height kept. */
export const WALL_LAW: ScalingLaw = lawOf(data.wallExponent);
/** How far two castings of one pattern lie apart: relative 95 % half-widths. */
export const CASTING_SPREAD = data.castingSpread;

/** One measured bell of a family: the same partial, and the same measure of size (or the cube root of mass). */
export interface FamilyMember {
  frequencyHz: Estimate;
  size: Estimate;
}

/** A mass as a measure of size: its cube root, in cube roots of a kilogram. */
export function cubeRoot(massKg: Estimate): Estimate {
  return withRelative(Math.cbrt(massKg.value), relativeCi95(massKg) / 3);
}

export interface ExponentFit extends ScalingLaw {
  bells: number;
  /** Standard deviation of the bells about the line, as a fraction of frequency; null with two bells. */
  scatterRelative: number | null;
}

/** Sizes nearer together than this say nothing of an exponent. */
const LEAST_SIZE_RATIO = 1.02;

/**
 * Exponent p of f ~ size^-p from two or more bells of one family: a straight line through the logarithms, ordinary
 * least squares. The interval is the larger of what the measurements (with the spread between castings) allow and,
 * from three bells on, what the scatter about the line allows.
 *
 * @throws InvalidPlanError with fewer than two bells, or sizes all but equal.
 */
export function fitExponent(bells: readonly FamilyMember[]): ExponentFit {
  const sizes = bells.map((bell) => bell.size.value);
  const unusable = bells.some((bell) => !(bell.size.value > 0) || !(bell.frequencyHz.value > 0));
  if (bells.length < 2 || unusable || Math.max(...sizes) / Math.min(...sizes) < LEAST_SIZE_RATIO) {
    throw new InvalidPlanError(
      "a scaling exponent needs two or more measured bells of one family whose sizes differ by 2 % or more; add such a bell, or leave the family out",
    );
  }
  const x = sizes.map(Math.log);
  const y = bells.map((bell) => Math.log(bell.frequencyHz.value));
  const meanX = x.reduce((a, b) => a + b, 0) / x.length;
  const meanY = y.reduce((a, b) => a + b, 0) / y.length;
  const spread = x.reduce((sum, xi) => sum + (xi - meanX) ** 2, 0);
  const slope = x.reduce((sum, xi, i) => sum + (xi - meanX) * (y[i]! - meanY), 0) / spread;
  const exponent = -slope;
  const measured = bells.map((bell, i) => {
    const own = quadrature(
      relativeCi95(bell.frequencyHz),
      exponent * relativeCi95(bell.size),
      CASTING_SPREAD.frequencyRelative,
    );
    return ((x[i]! - meanX) * own) / spread;
  });
  const dof = bells.length - 2;
  const residual = x.reduce((sum, xi, i) => sum + (y[i]! - meanY - slope * (xi - meanX)) ** 2, 0);
  const scatterRelative = dof > 0 ? Math.sqrt(residual / dof) : null;
  const scattered = scatterRelative === null ? 0 : (studentT95(dof) * scatterRelative) / Math.sqrt(spread);
  return {
    exponent: { value: exponent, ci95: Math.max(quadrature(...measured), scattered) },
    source: `f ~ size^-p fitted to ${bells.length} measured bells of one family`,
    bells: bells.length,
    scatterRelative,
  };
}

/**
 * Length factor that takes a bell from one frequency to another under f ~ length^-p: (from / to)^(1/p). The
 * interval grows with the distance bridged, since it is the exponent that is uncertain.
 *
 * @param ratio frequency had over frequency wanted
 * @throws InvalidPlanError for an exponent that does not stand clear of zero.
 */
export function lengthFactor(ratio: Estimate, { exponent }: ScalingLaw): Estimate {
  const p = exponent.value;
  if (!(p > exponent.ci95)) {
    throw new InvalidPlanError(
      "the bells of this family do not get higher as they get smaller, within their intervals; check their sizes, or leave the family out",
    );
  }
  return withRelative(
    ratio.value ** (1 / p),
    relativeCi95(ratio) / p,
    (Math.log(ratio.value) * exponent.ci95) / p ** 2,
  );
}

/**
 * Mass goes nearly with the wall's thickness; its surfaces shift a little as it grows, by a tenth of the change at
 * most (judgement, no source). Relative half-width for a wall factor.
 */
export function wallMassSlack(wallFactor: number): number {
  return 0.1 * Math.abs(Math.log(wallFactor));
}
