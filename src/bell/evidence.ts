/** What levels and decay times say about names, and how many partials lie around that no profile knows. */

/** Half-width, in ln(frequency), over which the density of partials is counted. */
const NEIGHBOURHOOD = 0.5;
/** A partial not this much below another is as loud, dB. */
const AS_LOUD_DB = 6;
/** Of the partials in a neighbourhood so many may be the shape's own; the others, and this share at least, are strays. */
const OWN_NEAR = 4;
const LEAST_STRAY_SHARE = 0.2;
/** From here down a partial may be anything: its neighbours are all strays; from here up they count in full. */
const WEAK_DB = -35;
const STRONG_DB = -15;
/** Density at the least, per unit of ln(frequency): a single stray is never beyond belief. */
const LEAST_DENSITY = 1;
/** Kept off the edges of the measured range, where a neighbourhood is cut short. */
const EDGE = 0.2;
const LEAST_WIDTH = 0.6;
/** At this level a measured partial is as likely to be a stray as one of the profile's. */
const EVEN_LEVEL_DB = -19;
/** A likelihood ratio of e for so many dB; capped, for levels depend on where the rod and the microphone were. */
const DB_PER_NEPER = 8;
const LEVEL_ODDS_CAP = 1.5;
const LEVEL_ODDS_FLOOR = 0.12;
/** The partial that should ring longest: in favour when it rings more than half as long as any, against below. */
const LONGEST_ODDS_CAP = 1.5;
const SHORT_ODDS_FLOOR = 0.2;

export interface StrayModel {
  /** Density of partials about as loud as each one or louder, near it, per unit of ln(frequency): a weak line says nothing about a strong one, however many there are. */
  density: Float64Array;
  /** Share of them that are strays on a bell of the kind. */
  share: Float64Array;
}

/**
 * How many partials lie around each one that no profile knows.
 *
 * @param logFrequency ascending
 */
export function strayModel(logFrequency: Float64Array, levelDb: Float64Array): StrayModel {
  const n = logFrequency.length;
  const density = new Float64Array(n);
  const share = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const low = logFrequency[i] - NEIGHBOURHOOD;
    const high = logFrequency[i] + NEIGHBOURHOOD;
    let loud = 0;
    for (let j = 0; j < n; j++) {
      if (logFrequency[j] >= low && logFrequency[j] <= high && levelDb[j] >= levelDb[i] - AS_LOUD_DB) loud++;
    }
    const width = Math.min(high, logFrequency[n - 1]) - Math.max(low, logFrequency[0]) + EDGE;
    density[i] = Math.max(LEAST_DENSITY, loud / Math.max(width, LEAST_WIDTH));
    const strength = Math.min(1, Math.max(0, (levelDb[i] - WEAK_DB) / (STRONG_DB - WEAK_DB)));
    share[i] = Math.max(LEAST_STRAY_SHARE, 1 - OWN_NEAR / loud) ** strength;
  }
  return { density, share };
}

/** How much likelier a partial of this level (dB below the strongest) is one of the profile's than a stray. */
export function levelOdds(levelDb: number): number {
  const odds = Math.exp((levelDb - EVEN_LEVEL_DB) / DB_PER_NEPER);
  return Math.min(LEVEL_ODDS_CAP, Math.max(LEVEL_ODDS_FLOOR, odds));
}

/** How much likelier a partial that rings so long is the one that should ring longest; 1 when not known. */
export function longestRingOdds(decayTimeS: number, longestDecayTimeS: number): number {
  const share = decayTimeS / longestDecayTimeS;
  if (!Number.isFinite(share)) return 1;
  return Math.min(LONGEST_ODDS_CAP, Math.max(SHORT_ODDS_FLOOR, 2 * share));
}
