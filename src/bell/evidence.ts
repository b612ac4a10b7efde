/** What levels and decay times say about names, and how many partials lie around that no profile knows. */

/** Half-width, in ln(frequency), over which the density of partials is counted. */
const NEIGHBOURHOOD = 0.5;
/** A partial not this much below another is as loud, dB. */
const AS_LOUD_DB = 6;
/** Density at the least, per unit of ln(frequency): a single stray is never beyond belief. */
const LEAST_DENSITY = 1;
/** Kept off the edges of the measured range, where a neighbourhood is cut short. */
const EDGE = 0.2;
const LEAST_WIDTH = 0.6;
/** At this level a measured partial is as likely to be a stray as one of the profile's. */
const EVEN_LEVEL_DB = -20;
/** A likelihood ratio of e for so many dB; capped, for levels depend on where the rod and the microphone were. */
const DB_PER_NEPER = 17;
const LEVEL_ODDS_CAP = 3;
/** The partial that should ring longest: in favour when it rings more than half as long as any, against below. */
const LONGEST_ODDS_CAP = 1.5;
const SHORT_ODDS_FLOOR = 0.2;

export interface StrayModel {
  /** Expected density of partials outside the profile near each one, per unit of ln(frequency). */
  density: Float64Array;
  /** Density of all partials there. */
  all: Float64Array;
}

/**
 * The density of stray partials near each measured one, were all of them strays: the local density of all
 * partials, times the share of neighbours that are as loud, since strays are weak; the share averages 1.
 *
 * @param logFrequency ascending
 */
export function strayModel(logFrequency: Float64Array, levelDb: Float64Array): StrayModel {
  const n = logFrequency.length;
  const density = new Float64Array(n);
  const all = new Float64Array(n);
  const asLoud = new Float64Array(n);
  let meanShare = 0;
  for (let i = 0; i < n; i++) {
    const low = logFrequency[i] - NEIGHBOURHOOD;
    const high = logFrequency[i] + NEIGHBOURHOOD;
    let near = 0;
    let loud = 0;
    for (let j = 0; j < n; j++) {
      if (logFrequency[j] < low || logFrequency[j] > high) continue;
      near++;
      if (levelDb[j] >= levelDb[i] - AS_LOUD_DB) loud++;
    }
    const width = Math.min(high, logFrequency[n - 1]) - Math.max(low, logFrequency[0]) + EDGE;
    all[i] = Math.max(LEAST_DENSITY, near / Math.max(width, LEAST_WIDTH));
    asLoud[i] = loud / near;
    meanShare += asLoud[i] / n;
  }
  for (let i = 0; i < n; i++) density[i] = (all[i] * asLoud[i]) / meanShare;
  return { density, all };
}

/** How much likelier a partial of this level (dB below the strongest) is one of the profile's than a stray. */
export function levelOdds(levelDb: number): number {
  const odds = Math.exp((levelDb - EVEN_LEVEL_DB) / DB_PER_NEPER);
  return Math.min(LEVEL_ODDS_CAP, Math.max(1 / LEVEL_ODDS_CAP, odds));
}

/** How much likelier a partial that rings so long is the one that should ring longest; 1 when not known. */
export function longestRingOdds(decayTimeS: number, longestDecayTimeS: number): number {
  const share = decayTimeS / longestDecayTimeS;
  if (!Number.isFinite(share)) return 1;
  return Math.min(LONGEST_ODDS_CAP, Math.max(SHORT_ODDS_FLOOR, 2 * share));
}
