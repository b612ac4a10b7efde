import type { Brightness, Estimate } from "../measurement/index.ts";
import { aWeightingDb } from "./a-weighting.ts";
import { quotient } from "./estimate.ts";

export interface BrightnessPartial {
  name: string | null;
  frequencyHz: Estimate;
  /** At the strike, relative to any common reference. */
  levelDb: Estimate;
}

/** ln of the power ratio of 1 dB. */
const LN_POWER_PER_DB = Math.LN10 / 10;
/** Relative step of the difference quotient of the weighting. */
const STEP = 1e-4;

interface Centroid {
  value: number;
  /** Derivatives to each frequency and level. */
  byHz: Float64Array;
  byDb: Float64Array;
}

/** Slope of ln(A-weighted power) per hertz. */
function weightingSlope(frequencyHz: number): number {
  const step = STEP * frequencyHz;
  const rise = aWeightingDb(frequencyHz + step) - aWeightingDb(frequencyHz - step);
  return (LN_POWER_PER_DB * rise) / (2 * step);
}

function centroidOf(partials: readonly BrightnessPartial[]): Centroid {
  const weightedDb = partials.map((p) => p.levelDb.value + aWeightingDb(p.frequencyHz.value));
  const strongest = Math.max(...weightedDb);
  const power = weightedDb.map((db) => 10 ** ((db - strongest) / 10));
  const total = power.reduce((sum, p) => sum + p, 0);
  const value = partials.reduce((sum, p, i) => sum + (power[i] / total) * p.frequencyHz.value, 0);
  const byHz = Float64Array.from(partials, ({ frequencyHz: { value: f } }, i) => {
    return (power[i] / total) * (1 + (f - value) * weightingSlope(f));
  });
  const byDb = Float64Array.from(partials, ({ frequencyHz: { value: f } }, i) => {
    return (power[i] / total) * (f - value) * LN_POWER_PER_DB;
  });
  return { value, byHz, byDb };
}

/** 95 % half-width of a function of all partials from its derivatives, the partials independent. */
function halfWidth(
  partials: readonly BrightnessPartial[],
  byHz: (i: number) => number,
  byDb: (i: number) => number,
): number {
  const terms = partials.flatMap((p, i) => [byHz(i) * p.frequencyHz.ci95, byDb(i) * p.levelDb.ci95]);
  return Math.hypot(...terms);
}

/**
 * Brightness: the centroid of the A-weighted power of the partials at the strike, in hertz and over the nominal
 * where one is named, else over the strike note, else over the lowest partial.
 *
 * Intervals are to first order in the frequencies and levels, the partials taken as independent; a partial that is
 * also the one the ratio is taken to counts in both places.
 *
 * @param strikeNoteHz null where there is none
 * @returns null without partials
 */
export function brightnessOf(
  partials: readonly BrightnessPartial[],
  strikeNoteHz: Estimate | null,
): Brightness | null {
  if (partials.length === 0) return null;
  const { value, byHz, byDb } = centroidOf(partials);
  const centroidHz = {
    value,
    ci95: halfWidth(
      partials,
      (i) => byHz[i],
      (i) => byDb[i],
    ),
  };
  const nominal = partials.findIndex((partial) => partial.name === "nominal");
  if (nominal < 0 && strikeNoteHz !== null) {
    return { centroidHz, centroidRatio: quotient(centroidHz, strikeNoteHz), ratioTo: "strike note" };
  }
  const frequencies = partials.map((partial) => partial.frequencyHz.value);
  const to = nominal >= 0 ? nominal : frequencies.indexOf(Math.min(...frequencies));
  const over = frequencies[to];
  const ratio = value / over;
  const ci95 = halfWidth(
    partials,
    (i) => (byHz[i] - (i === to ? ratio : 0)) / over,
    (i) => byDb[i] / over,
  );
  return {
    centroidHz,
    centroidRatio: { value: ratio, ci95 },
    ratioTo: nominal >= 0 ? "nominal" : "lowest partial",
  };
}
