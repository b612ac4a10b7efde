import type { Profile, Ripple, WallLine } from "./profile.ts";

/** A profile with every length times `factor`, now the casting's. */
export function scaledProfile(profile: Profile, factor: number): Profile {
  const scaled = (values: Float64Array): Float64Array => values.map((value) => factor * value);
  const line = ({ rM, zM }: WallLine): WallLine => ({ rM: scaled(rM), zM: scaled(zM) });
  const ripple = (each: Ripple): Ripple => ({
    ...each,
    amplitudeM: factor * each.amplitudeM,
    ...(each.zM ? { zM: scaled(each.zM) } : {}),
    ...(each.amplitudeAtM ? { amplitudeAtM: scaled(each.amplitudeAtM) } : {}),
  });
  return {
    ...profile,
    outer: line(profile.outer),
    inner: line(profile.inner),
    sizeOf: "casting",
    ripples: profile.ripples.map(ripple),
  };
}
