import type { ExpectedPartial } from "../measurement/index.ts";
import { parseProfile } from "./parse-profile.ts";
import type { Profile } from "./profile.ts";
import freeBar from "./profiles/free-bar.json" with { type: "json" };
import handbell from "./profiles/handbell.json" with { type: "json" };
import majorThird from "./profiles/major-third.json" with { type: "json" };
import minorThird from "./profiles/minor-third.json" with { type: "json" };
import thinRing from "./profiles/thin-ring.json" with { type: "json" };
import tubular from "./profiles/tubular.json" with { type: "json" };

/** The profile taken when the user names none. */
export const DEFAULT_PROFILE_ID = "minor-third";

const PROFILES = new Map<string, Profile>(
  [minorThird, majorThird, handbell, tubular, freeBar, thinRing].map((json) => [json.id, parseProfile(json)]),
);

/** Ids of the profiles that come with the project, the default first. */
export function profileIds(): string[] {
  return [...PROFILES.keys()];
}

/**
 * A profile that comes with the project.
 *
 * @throws RangeError when there is none of this id; the sentence lists those there are.
 */
export function profileById(id: string): Profile {
  const profile = PROFILES.get(id);
  if (profile === undefined) {
    throw new RangeError(`profile "${id}" is not known; choose one of ${profileIds().join(", ")}`);
  }
  return profile;
}

/** The partials of a profile as a measurement carries them, ascending. */
export function expectedPartials(profile: Profile): ExpectedPartial[] {
  return profile.partials.map(({ name, ratio, nodalMeridians, presence }) => ({
    name,
    idealRatio: ratio,
    nodalMeridians,
    presence,
  }));
}
