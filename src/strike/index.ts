export { findStrikes } from "./find-strikes.ts";
export type { QuietStretch, Strike, StrikeSearch } from "./strike.ts";
