export { aWeightingDb, levelsDba } from "./a-weighting.ts";
export { type BrightnessPartial, brightnessOf } from "./brightness.ts";
export { decayRatePerS, decayTimeS, lossFactor, qualityFactor } from "./damping.ts";
export { type NamedKind, nameKind } from "./kind.ts";
export {
  NAME_CONFIDENCE,
  type NamedBell,
  type NamedPartial,
  namePartials,
  type PartialToName,
  type Reference,
} from "./naming.ts";
export { CONCERT_A4_HZ, type Note, noteOf, noteToHz } from "./notes.ts";
export { parseProfile } from "./parse-profile.ts";
export { canPatternSplit } from "./pattern-split.ts";
export {
  type PartialStatus,
  type Profile,
  type ProfilePartial,
  type ProfileRimLaw,
  partialByName,
} from "./profile.ts";
export { DEFAULT_PROFILE_ID, expectedPartials, profileById, profileIds } from "./profiles.ts";
export { fitRimLaw, type RimLawFit, type RimPoint, rimFrequency } from "./rim-law.ts";
export { type StrikeNotePartial, strikeNoteOf } from "./strike-note.ts";
export type { StrikeRule } from "./strike-rule.ts";
