/**
 * What comparing castings gives: plain data, the schema `ringwright.compare/1`. B is told relative to A throughout.
 * Units are in the names; every estimate carries the half-width of its 95 % interval.
 */
import type { Estimate, Finding } from "../measurement/index.ts";
import type { Kind } from "./shared-change.ts";

/** What the user knows of a casting besides its sound. */
export interface CastingFacts {
  label: string;
  /** Mass per cent, as in "Cu80Sn20". */
  alloy: string | null;
  massKg: Estimate | null;
  /** At the mouth. */
  diameterM: Estimate | null;
}

export interface Casting extends CastingFacts {
  /** What sentences call it: "A" for the reference, then "B", "C" and so on. */
  letter: string;
  /** File names without folders. */
  recordings: string[];
  /** Strikes used in the pooled values. */
  strikes: number;
  /** Method of the measurement; only one method compares with itself. */
  method: string;
  /** False: the partials are visible peaks with rough decays. */
  freeDecay: boolean;
}

export type PairedBy = "name" | "rim order" | "place";

/**
 * One of the two partials of a pair. Where both are split, frequency and decay are those of the middle between the
 * members: the centre that a measurement gives is weighted by power, and moves with the place of the blow.
 */
export interface PairSide {
  /** Index into the partials of its measurement. */
  partial: number;
  name: string | null;
  frequencyHz: Estimate;
  decayTimeS: Estimate;
  q: Estimate;
  lossFactor: Estimate;
  /** At the strike, relative to the strongest partial of the same casting. */
  levelDb: Estimate;
  /** null where it is a single line. */
  splitHz: Estimate | null;
  /** From the ideal of the profile that the casting was measured with. */
  deviationCents: Estimate | null;
}

/** A partial of A and the same partial of B. */
export interface Pair {
  name: string;
  pairedBy: PairedBy;
  nodalMeridians: number | null;
  a: PairSide;
  b: PairSide;
  /** f of B over f of A. */
  frequencyRatio: Estimate;
  cents: Estimate;
  decayRatio: Estimate;
  qRatio: Estimate;
  levelDifferenceDb: Estimate;
  /** Split of B less that of A, a single line counting as 0 to within half its linewidth; null where neither is split. */
  splitDifferenceHz: Estimate | null;
  /** Standard deviation between strikes that the pair is held against; null with one strike of either. */
  strikeSpreadCents: number | null;
  /** The same of the decay time, as a part of it. */
  strikeSpreadDecay: number | null;
  /**
   * Whether the frequency changed by more than its errors explain: the intervals of the fits, and the spread between
   * strikes where there are two or more of both. Tested over all pairs together, one false alarm in a hundred.
   */
  frequencyChanged: boolean;
  /** The same of the decay. */
  decayChanged: boolean;
  /** Whether frequency or decay changed by more than strikes of one casting differ; null with one strike of either. */
  beyondStrikeSpread: boolean | null;
}

/** A partial without a counterpart. */
export interface UnpairedPartial {
  casting: "a" | "b";
  partial: number;
  name: string | null;
  frequencyHz: Estimate;
  decayTimeS: Estimate;
  levelDb: Estimate;
}

/** Whether the pairs share one change. */
export interface SharedTest {
  /**
   * "none": no change. "common": one change for all. "some": all but a few share one. "scatter": they moved against
   * each other. "common and scatter": both, the common change the larger.
   */
  kind: Kind;
  /** Indices of the pairs that left the others; [] unless some did. */
  moved: number[];
  /** Sum of the squared normal scores of the pairs about the mean; chi-squared where they share one change. */
  statistic: number;
  degreesOfFreedom: number;
  /** Probability of such a statistic, or a larger one, where all pairs share one change. */
  pValue: number;
  /** Probability of such a mean, or a larger one, where nothing changed. */
  pValueOfMean: number;
}

/** What all pairs say together. */
export interface Common {
  cents: Estimate;
  /** Robust standard deviation of the pairs about the common shift; 0 where they agree within their errors. */
  scatterCents: number;
  frequencyRatio: Estimate;
  decayRatio: Estimate;
  /** Robust standard deviation of the decay ratios about their mean, as a part of it; 0 where they agree. */
  scatterDecay: number;
  pitch: SharedTest;
  decay: SharedTest;
}

export interface SamePattern {
  outcome: "same" | "different" | "unclear";
  text: string;
  evidence: Finding["evidence"];
}

/** The sound as a whole, B relative to A; null where one of the two was not measured. */
export interface WholeSound {
  strikeNoteCents: Estimate | null;
  /** False: the two strike notes were told by different methods, so their difference may be one of method. */
  strikeNoteSameMethod: boolean;
  t60Ratio: Estimate | null;
  edtRatio: Estimate | null;
  t20Ratio: Estimate | null;
  t30Ratio: Estimate | null;
  audibleRatio: Estimate | null;
  /** A-weighted centroid of B over that of A. */
  brightnessRatio: Estimate | null;
  /** The same, each taken relative to the casting's own nominal, strike note or lowest partial. */
  relativeBrightnessRatio: Estimate | null;
  /** Mean peak of B's strikes over A's; depends on blow and microphone. null with one strike of either. */
  peakDifferenceDb: Estimate | null;
}

/** Square root of Young's modulus over density, B over A. */
export interface Material {
  /** From the sound: the common frequency ratio times the ratio of the diameters. */
  soundSpeedRatio: Estimate;
  /** B's diameter over A's; null where one of them is not known, and 1 is then taken. */
  diameterRatio: Estimate | null;
  /** From published sheets, with the alloys given; null without them or without sheets near them. */
  expected: { soundSpeedRatio: Estimate; basis: string; sheets: string[] } | null;
  /** Why there is no expectation, in a sentence; null where there is one. */
  noExpectation: string | null;
  /** B's mass over A's; null where one is not known. */
  massRatio: Estimate | null;
}

/** One clause of the result, and the finding whose rows hold it up. */
export interface Clause {
  text: string;
  finding: string;
}

/** One casting against the reference. */
export interface ComparisonOfTwo {
  /** Index of the reference among the castings. */
  a: number;
  b: number;
  result: { text: string; clauses: Clause[] };
  samePattern: SamePattern;
  pairs: Pair[];
  unpaired: UnpairedPartial[];
  /** null without pairs. */
  common: Common | null;
  whole: WholeSound;
  material: Material | null;
  findings: Finding[];
}

export interface Comparison extends ComparisonOfTwo {
  schema: "ringwright.compare/1";
  tool: { name: "ringwright"; version: string };
  /** What was invented, where the castings are not real; null for recordings of bells. */
  scenario: string | null;
  castings: Casting[];
  /** Further castings, each against the same reference. */
  more: ComparisonOfTwo[];
}
