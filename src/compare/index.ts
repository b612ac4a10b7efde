/** Castings side by side: what changed, whether by more than strikes differ, and whether metal or shape did it. */
export { type CastingToCompare, compareCastings, MOST_CASTINGS } from "./compare-castings.ts";
export type * from "./comparison.ts";
export { type Demo, type DemoCasting, demoCastings } from "./demo.ts";
export { writeCompareJson } from "./write-compare.ts";
