import type { Picture } from "./assignment.ts";
import type { Profile, ProfilePartial, ProfileRimLaw } from "./profile.ts";

/** Castings differ: from tuned to further off than the profile's spread, as multiples of it, equally likely. */
const SPREAD_SCALES = [0.25, 0.7, 1.4, 2.5];
/** Single partials of a good casting are off by this much. */
const TAIL_SCALE = 1.4;
/** Share of castings expected to follow their kind's rim law; the rest deviate partial by partial. */
const LAW_SHARE = 0.3;
/** A tuned bell: the partials that ratios are measured from lie this near, the others as in a casting. */
const TUNED_SCALE = 0.15;
const CAST_SCALE = 0.6;
/** Spread of the other partials of such a casting, against its first rim partial. */
const LAW_SPREAD_SCALES = [TUNED_SCALE, 0.6, 1.7];
/** Exponents p tried, in standard deviations from the typical one. */
const EXPONENTS = [-3, -2.5, -2, -1.5, -1, -0.5, 0, 0.5, 1, 1.5, 2];
const EXPONENT_STEP = 0.5;
/** Scatter of rim partials about the law: 10 cents, above the 3 and 8 cents of the two bells fitted. */
const LAW_SCATTER = 0.006;

function presences(profile: Profile): Float64Array {
  return Float64Array.from(profile.partials, (partial) => partial.presence);
}

/** Pictures in which every partial deviates on its own, by a common multiple of the profile's spread. */
function independentPictures(profile: Profile): Picture[] {
  const share = profile.rimLaw === null ? 1 : 1 - LAW_SHARE;
  return SPREAD_SCALES.map((scale) => ({
    logRatio: Float64Array.from(profile.partials, (partial) => Math.log(partial.ratio)),
    spread: Float64Array.from(profile.partials, (partial) => scale * partial.spread),
    tail: Float64Array.from(profile.partials, (partial) => Math.max(scale, TAIL_SCALE) * partial.spread),
    presence: presences(profile),
    anchor: -1,
    prior: share / SPREAD_SCALES.length,
  }));
}

/**
 * Pictures in which the rim partials follow f = C (m + b)^p from the first of them, whatever its frequency, with
 * p free within its spread between bells, and the others deviate on their own.
 */
function lawPictures(profile: Profile, law: ProfileRimLaw): Picture[] {
  const { partials } = profile;
  const anchor = partials.findIndex((partial) => partial.rim);
  const anchorM = (partials[anchor].nodalMeridians as number) + law.b;
  const logStep = partials.map((partial) =>
    partial.rim ? Math.log(((partial.nodalMeridians as number) + law.b) / anchorM) : 0,
  );
  // The exponents are a grid: between two of them the law is off by a uniform error.
  const gridSd = (EXPONENT_STEP * law.spreadP) / Math.sqrt(12);
  const gaussSum = EXPONENTS.reduce((sum, z) => sum + Math.exp(-0.5 * z * z), 0);
  const spreadAt = ({ name, spread }: ProfilePartial, scale: number) =>
    (profile.reference.includes(name) ? scale : Math.max(scale, CAST_SCALE)) * spread;
  const rimSpread = (k: number) => Math.hypot(LAW_SCATTER, gridSd * logStep[k]);
  const pictures: Picture[] = [];
  for (const scale of LAW_SPREAD_SCALES) {
    for (const z of EXPONENTS) {
      const p = law.p + z * law.spreadP;
      pictures.push({
        logRatio: Float64Array.from(partials, (partial, k) =>
          partial.rim ? Math.log(partials[anchor].ratio) + p * logStep[k] : Math.log(partial.ratio),
        ),
        spread: Float64Array.from(partials, (partial, k) =>
          partial.rim ? rimSpread(k) : spreadAt(partial, scale),
        ),
        tail: Float64Array.from(partials, (partial, k) =>
          partial.rim ? rimSpread(k) : Math.max(scale, TAIL_SCALE) * partial.spread,
        ),
        presence: presences(profile),
        anchor,
        prior: (LAW_SHARE * Math.exp(-0.5 * z * z)) / (gaussSum * LAW_SPREAD_SCALES.length),
      });
    }
  }
  return pictures;
}

/** The pictures of a casting that names are averaged over; their priors sum to 1. */
export function picturesOf(profile: Profile): Picture[] {
  const law = profile.rimLaw === null ? [] : lawPictures(profile, profile.rimLaw);
  return [...independentPictures(profile), ...law];
}
