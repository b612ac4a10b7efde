export { type DecayCurve, decayCurve } from "./decay-curve.ts";
export { findStrikes } from "./find-strikes.ts";
export { noisePower } from "./noise-power.ts";
export { reverberationTimes } from "./reverberation-times.ts";
export type { QuietStretch, Strike, StrikeSearch } from "./strike.ts";
export { sustainOf } from "./sustain.ts";
