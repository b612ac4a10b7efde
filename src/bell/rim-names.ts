import { cents } from "./estimate.ts";
import { fitRimLaw, MIN_RIM_POINTS, type RimLawFit, type RimPoint, rimFrequency } from "./rim-law.ts";

/** A measured partial taken as a rim partial with m complete nodal meridians. */
export interface RimMember extends RimPoint {
  /** Index of the measured partial. */
  partial: number;
}

/** The rim partials hold to the law when they scatter less than this about it: twice the worst bell published. */
const HOLDS_WITHIN_CENTS = 20;
/** No law is known better than this, cents. */
const LEAST_SCATTER_CENTS = 8;
/** A rim partial this many times the scatter off the law of all others is not one. */
const OUTLIER = 5;
/** Probability that the next rim partial above the named ones shows. */
const NEXT_PRESENCE = 0.7;
/** Beyond this many standard deviations no partial is taken for one that the law predicts. */
const REACH = 3;
const CENTS_PER_NEPER = 1200 / Math.LN2;
/** Rim partials are looked for up to this m; above, their spacing is less than any law's error. */
const HIGHEST_M = 16;

/** The law of these rim partials when they hold to it, else null. */
function holdingLaw(members: readonly RimPoint[], least: number): RimLawFit | null {
  if (members.length < least) return null;
  const law = fitRimLaw(members);
  return law !== null && law.rmsCents <= HOLDS_WITHIN_CENTS ? law : null;
}

/**
 * The member that contradicts the law the others hold to, or null. Only one between others is judged: the law
 * says little beyond the partials it was fitted to.
 *
 * Others are at least five, so that their agreement is more than three constants fitted to four points.
 */
export function rimOutlier(members: readonly RimMember[]): RimMember | null {
  for (const member of members) {
    const others = members.filter((other) => other !== member);
    const isBetween =
      others.some((other) => other.nodalMeridians < member.nodalMeridians) &&
      others.some((other) => other.nodalMeridians > member.nodalMeridians);
    const law = isBetween ? holdingLaw(others, MIN_RIM_POINTS + 1) : null;
    if (law === null) continue;
    const off = Math.abs(cents(member.frequencyHz, rimFrequency(law, member.nodalMeridians)));
    if (off > OUTLIER * Math.max(law.rmsCents, LEAST_SCATTER_CENTS)) return member;
  }
  return null;
}

/** Measured partials that may be rim partials. */
export interface RimCandidates {
  /** Indices of the partials without a name. */
  partials: number[];
  /** Of all measured partials, by index. */
  frequencyHz: Float64Array;
  /** Strays per unit of ln(frequency) near each measured partial, by index. */
  density: Float64Array;
}

/**
 * Rim partials that the law predicts and a measured partial meets, from the lowest m of `members` upwards, refitting
 * after each one found. Nothing is found unless at least five members hold to the law within 20 cents.
 *
 * The probability of the best candidate is its normal density about the prediction against the density of strays
 * and the chance that the partial does not show.
 *
 * @param confidence probability that a candidate needs
 */
export function findRimPartials(
  members: readonly RimMember[],
  candidates: RimCandidates,
  confidence: number,
): (RimMember & { probability: number })[] {
  const found: (RimMember & { probability: number })[] = [];
  const known = [...members];
  const lowest = Math.min(...members.map((member) => member.nodalMeridians));
  let highest = Math.max(...members.map((member) => member.nodalMeridians));
  // One m may be silent; above two the law is stretched too far.
  for (let m = lowest + 1; m <= Math.min(highest + 2, HIGHEST_M); m++) {
    if (known.some((member) => member.nodalMeridians === m)) continue;
    const law = holdingLaw(known, MIN_RIM_POINTS + 1);
    if (law === null) return found;
    const scatter = Math.max(law.rmsCents, LEAST_SCATTER_CENTS) * (1 + Math.max(0, m - highest));
    const best = bestCandidate(rimFrequency(law, m), scatter / CENTS_PER_NEPER, candidates, known);
    if (best === null || best.probability < confidence) continue;
    const member = {
      partial: best.partial,
      nodalMeridians: m,
      frequencyHz: candidates.frequencyHz[best.partial],
    };
    known.push(member);
    found.push({ ...member, probability: best.probability });
    highest = Math.max(highest, m);
  }
  return found;
}

function bestCandidate(
  predictedHz: number,
  sd: number,
  candidates: RimCandidates,
  taken: readonly RimMember[],
): { partial: number; probability: number } | null {
  let sum = 1 - NEXT_PRESENCE;
  let best = -1;
  let bestWeight = 0;
  for (const partial of candidates.partials) {
    if (taken.some((member) => member.partial === partial)) continue;
    const z = Math.log(candidates.frequencyHz[partial] / predictedHz) / sd;
    if (Math.abs(z) > REACH) continue;
    const density = Math.exp(-0.5 * z * z) / (sd * Math.sqrt(2 * Math.PI));
    const weight = (NEXT_PRESENCE * density) / candidates.density[partial];
    sum += weight;
    if (weight > bestWeight) {
      best = partial;
      bestWeight = weight;
    }
  }
  return best < 0 ? null : { partial: best, probability: bestWeight / sum };
}
