import type { Estimate } from "../measurement/index.ts";
import type { DesignResult } from "./design/design.ts";
import type { TuneResult } from "./tune/tune.ts";
import type { Cause } from "./uncertainty.ts";

/** The schema of what `forecast` writes. */
export const FORECAST_SCHEMA = "ringwright.forecast/1";

/** One partial as forecast. */
export interface ForecastMode {
  /** Waves around. */
  m: number;
  /** From 1 within m, motions of the bell as a whole left out. */
  order: number;
  /** Circles that stand still. */
  circles: number;
  name: string | null;
  frequencyHz: Estimate;
  /** To the reference partial; the interval is narrower than the frequencies', since most of what is unknown moves both. */
  ratio: Estimate;
  /** Parts of the variance of the frequency by cause; they add up to 1. */
  shares: Record<Cause["id"], number>;
}

/** What taking 0.1 mm off a stretch of one wall does. */
export interface BandSensitivity {
  wall: "outer" | "inner";
  /** Middle of the stretch: full depth there, falling smoothly to nothing at either end. */
  zMm: number;
  rMm: number;
  fromZMm: number;
  toZMm: number;
  /** In the order of `modes`; above zero where the partial rises. */
  centsPerTenthMm: number[];
  /** Metal that goes with it. */
  gramsPerTenthMm: number;
}

/** A mode whose two forms no longer ring as one. */
export interface ForecastDoublet {
  /** Index into `modes`. */
  mode: number;
  ridges: number;
  wall: "outer" | "inner";
  /** First order where twice the waves are the ridges; second, an order of size only, where the waves are. */
  theory: "first order" | "second order";
  splitCents: Estimate;
  splitHz: Estimate;
  /** Where the lower of the two has its antinodes; null where only the size is known. */
  lowerAntinodes: "on the ridges" | "between the ridges" | null;
}

/** Where the wall is thickest near the mouth. */
export interface Soundbow {
  thicknessMm: number;
  zMm: number;
}

/** One partial of the casting that a forecast was calibrated on. */
export interface CalibratedPartial {
  /** Index into `modes`. */
  mode: number;
  measuredHz: Estimate;
  /** Measured less forecast before, and what is left after the fit, cents. */
  beforeCents: number;
  leftCents: number;
}

export interface Calibration {
  label: string;
  /** E over density that fits, and it over what was assumed. */
  youngOverDensity: Estimate;
  factor: Estimate;
  measuredMassKg: number | null;
  partials: CalibratedPartial[];
}

/** Everything a forecast says. Lengths of the casting, cold; heights as in the profile. */
export interface ForecastResult {
  profile: {
    file: string;
    sizeOf: "casting" | "pattern";
    /** Length of the pattern over the casting's, less one, where the profile is the pattern's. */
    contraction: Estimate | null;
    /** What was done to it while it was read. */
    notes: { code: string; numbers: number[] }[];
  };
  metal: { youngGPa: Estimate; densityKgM3: Estimate; poisson: Estimate; source: string };
  heldCrownMm: number | null;
  massKg: Estimate;
  volumeCm3: Estimate;
  /** Above the lip. */
  centreOfGravityMm: number;
  mouthMm: number;
  heightMm: number;
  soundbow: Soundbow;
  mesh: { along: number; through: number; unknowns: number; errorCents: number };
  /** Index into `modes` of the partial that ratios are to. */
  reference: number;
  modes: ForecastMode[];
  sensitivity: BandSensitivity[];
  doublets: ForecastDoublet[];
  calibration: Calibration | null;
}

export interface ForecastDocument extends ForecastResult {
  schema: typeof FORECAST_SCHEMA;
  tool: { name: "ringwright"; version: string };
  /** Where to cut a measured casting; by `forecast tune` only. */
  tune?: TuneResult;
  /** How a profile was changed, the forecast being that of the new one; by `forecast design` only. */
  design?: DesignResult;
}
