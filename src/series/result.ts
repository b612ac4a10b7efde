import type { Estimate, Finding } from "../measurement/index.ts";

/** The result of a series: plain data, the schema `ringwright.series/1`. Units are in the names. */
export const SERIES_SCHEMA = "ringwright.series/1";

export interface SeriesPartial {
  name: string;
  /** Corrected for temperature only where the pass says so. */
  frequencyHz: Estimate;
  /** Moved by the common shift where the set is tuned to itself. */
  targetHz: number;
  deviationCents: Estimate;
  /** 60 dB decay time. */
  decayTimeS: Estimate;
}

export interface SeriesPassResult {
  date: string | null;
  recordings: string[];
  removedG: number | null;
  removedMm: number | null;
  at: string | null;
  metalC: number | null;
  airC: number | null;
  note: string | null;
  /** False: none of its recordings could be measured, and `partials` is empty. */
  measured: boolean;
  temperatureCorrected: boolean;
  /** Named partials, ascending. */
  partials: SeriesPartial[];
}

/** What one gram or one millimetre taken off at a place does to one partial. One of the two units is null. */
export interface Sensitivity {
  partial: string;
  at: string;
  centsPerG: Estimate | null;
  centsPerMm: Estimate | null;
  /** Cuts it rests on, and the bells they were made on. */
  cuts: number;
  bells: number;
}

/** How much would have to go at a place for one partial to reach its target. */
export interface Projection {
  partial: string;
  at: string;
  /** Half-width of 95 % of outcomes; null with the reason. */
  removeG: Estimate | null;
  removeMm: Estimate | null;
  reason: string | null;
}

export interface CutOutcome {
  partial: string;
  predictedCents: Estimate;
  /** True: it is on the side from which cutting brings it nearer, and stays there in 95 % of outcomes. */
  staysShort: boolean;
}

export interface NextCut {
  removeG: number | null;
  removeMm: number | null;
  at: string;
  /** The partial that says stop first. */
  partial: string;
  /** Its deviation after the cut; the half-width holds 95 % of outcomes. */
  predictedCents: Estimate;
  limitedBy: "its target" | "the largest cut made there so far" | "the balance of the partials";
  outcomes: CutOutcome[];
}

export interface SeriesBellResult {
  name: string;
  target: string;
  targetHz: number;
  alloy: string | null;
  massKg: number | null;
  diameterMm: number | null;
  passes: SeriesPassResult[];
  /** Mean deviation of the named partials of the last measured pass. */
  meanCents: Estimate | null;
  sensitivity: Sensitivity[];
  projections: Projection[];
  nextCut: NextCut | null;
  /** Why there is no next cut. */
  nextCutReason: string | null;
}

/** Interval between one partial of two neighbours in the file's order. */
export interface NeighbourInterval {
  from: string;
  to: string;
  partial: string;
  intervalCents: Estimate;
  targetCents: number;
  errorCents: Estimate;
}

/** How far decay times differ over the set, for one partial. */
export interface DecaySpread {
  partial: string;
  bells: number;
  shortestS: Estimate;
  longestS: Estimate;
  /** Standard deviation of the logarithm of the loss factor, per cent: what is left once pitch is allowed for. */
  spreadPercent: Estimate | null;
}

export interface OddOne {
  bell: string;
  what: "pitch" | "decay";
  /** null for a whole bell. */
  partial: string | null;
  /** Cents from the middle of the set, or the loss factor over the middle one. */
  amount: Estimate;
  text: string;
}

export interface FailedRecording {
  recording: string;
  reason: string;
}

export interface TemperatureCorrection {
  /** The temperature everything was brought to. */
  toC: number;
  /** Relative change of frequency for one kelvin. */
  coefficientPerK: Estimate;
  source: string;
}

export interface SeriesResult {
  schema: typeof SERIES_SCHEMA;
  tool: { name: "ringwright"; version: string; method: string };
  set: string;
  a4Hz: number;
  temperament: { id: string; title: string; tonic: string; cents: number[]; source: string };
  profile: string;
  anchor: "a4" | "set";
  temperature: TemperatureCorrection | null;
  bells: SeriesBellResult[];
  /** Best common shift of the set against A4; null where nothing was measured. */
  commonShiftCents: Estimate | null;
  intervals: NeighbourInterval[];
  decaySpread: DecaySpread[];
  oddOnes: OddOne[];
  failed: FailedRecording[];
  findings: Finding[];
}
