export type { EstimateText } from "./format.ts";
export { formatEstimate, formatEstimateParts } from "./format.ts";
export type * from "./tap.ts";
