import type { BellKind } from "../measurement/index.ts";
import { NAME_CONFIDENCE, type NamedBell, namePartials, type PartialToName } from "./naming.ts";
import { type Profile, partialByName } from "./profile.ts";
import { DEFAULT_PROFILE_ID, profileById, profileIds } from "./profiles.ts";

export interface NamedKind {
  profile: Profile;
  kind: BellKind;
  named: NamedBell;
}

/** Before looking: three in ten are church bells and three in ten none of the kinds, the rest is shared by the others. */
const PRIOR_DEFAULT = 0.3;
const PRIOR_NONE = 0.3;
/** The strongest partials, so many, tell the kind. */
const ASKED = 24;
/** Ratios this near are the same. */
const SAME_RATIO = 0.01;

/**
 * Names the partials of what was struck by the profile that fits best.
 *
 * Every built-in profile is tried; the evidence of each, the sum over all its references and assignments against strays
 * alone, is weighed against that of the others. The best is taken when its probability is 0.85 or more, as for a name, else the default.
 * Where the user gives a profile, that decides and the others are not asked.
 *
 * @param given the user's profile, or null
 * @param pins as of {@link namePartials}; only profiles that have all their names are tried
 */
export function nameKind(
  partials: readonly PartialToName[],
  given: Profile | null,
  pins: Record<string, number>,
): NamedKind {
  if (given !== null) {
    const named = namePartials(partials, given, pins, true);
    return { profile: given, kind: kindOf(given, "user", null, []), named };
  }
  // Pins would make any kind likely; which kind it is shall be told by the partials alone.
  const strongest = [...partials].sort((a, b) => b.levelDb - a.levelDb).slice(0, ASKED);
  const tried = profileIds().map((id) => {
    const profile = profileById(id);
    const prior =
      id === DEFAULT_PROFILE_ID
        ? PRIOR_DEFAULT
        : (1 - PRIOR_DEFAULT - PRIOR_NONE) / (profileIds().length - 1);
    return { profile, log: Math.log(prior) + namePartials(strongest, profile, {}).logEvidence };
  });
  const highest = Math.max(Math.log(PRIOR_NONE), ...tried.map(({ log }) => log));
  const weights = tried.map(({ log }) => Math.exp(log - highest));
  const total = weights.reduce((sum, w) => sum + w, Math.exp(Math.log(PRIOR_NONE) - highest));
  const shares = tried.map(({ profile: { id } }, i) => ({ profile: id, probability: weights[i] / total }));
  const allowed = tried.map(({ profile }) => hasAll(profile, Object.keys(pins)));
  const likeliest = shares.reduce(
    (best, { probability }, i) => (probability > shares[best].probability ? i : best),
    0,
  );
  // Kinds with the same ratios cannot be told apart by them: of a clear family the likelier is taken.
  const family = shares.reduce(
    (sum, { probability }, i) =>
      haveSameRatios(tried[i].profile, tried[likeliest].profile) ? sum + probability : sum,
    0,
  );
  const isClear = allowed[likeliest] && family >= NAME_CONFIDENCE;
  // A pin that only another profile has says which is meant.
  const fallback = Math.max(0, allowed.indexOf(true));
  const at = isClear ? likeliest : fallback;
  const { profile } = tried[at];
  const by = isClear ? "recognised" : "default";
  return {
    profile,
    kind: kindOf(profile, by, shares[at].probability, shares),
    named: namePartials(partials, profile, pins, isClear),
  };
}

/** Whether the lowest partials of two profiles lie at the same ratios, whatever the reference: a tube's and a bar's do. */
function haveSameRatios({ partials: a }: Profile, { partials: b }: Profile): boolean {
  return [1, 2, 3].every((k) => {
    const ratios = [a, b].map((partials) => (partials[k]?.ratio ?? 0) / partials[0].ratio);
    return Math.abs(ratios[0] - ratios[1]) <= SAME_RATIO * ratios[0];
  });
}

const hasAll = (profile: Profile, names: string[]) =>
  names.every((name) => partialByName(profile.partials, name) >= 0);

function kindOf(
  { title, strikeHalfOf }: Profile,
  chosenBy: BellKind["chosenBy"],
  probability: number | null,
  tried: BellKind["tried"],
): BellKind {
  return { title, chosenBy, probability, strikeHalfOf, tried };
}
