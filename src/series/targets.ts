import type { Profile } from "../bell/index.ts";

/** Where one partial of a bell should lie. */
export interface PartialTarget {
  name: string;
  hertz: number;
}

/**
 * Hertz of every partial of a profile for a bell with this strike note, ascending. By the profile's own rule the strike
 * note is half of one partial (the nominal of a tower bell); without a rule it is the first partial ratios are counted from.
 */
export function partialTargets(profile: Profile, strikeHz: number): PartialTarget[] {
  const unit = strikeHz / strikeRatio(profile);
  return profile.partials.map(({ name, ratio }) => ({ name, hertz: unit * ratio }));
}

function strikeRatio({ strikeHalfOf, reference, partials }: Profile): number {
  const ratioOf = (wanted: string) => partials.find(({ name }) => name === wanted)?.ratio;
  if (strikeHalfOf !== null) {
    const whole = ratioOf(strikeHalfOf);
    if (whole !== undefined) return whole / 2;
  }
  return ratioOf(reference[0] ?? "") ?? partials[0]?.ratio ?? 1;
}
