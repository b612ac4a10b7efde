export { toDigits } from "./digits.ts";
export { GLIDE_TAKEN_OFF } from "./fit-note.ts";
export type { EstimateText } from "./format.ts";
export { formatEstimate, formatEstimateParts } from "./format.ts";
export { isTapMeasurement, MeasurementError, readTapJson, readTapMeasurement } from "./read-tap.ts";
export { nearHz, type Quantity, quantityOf, readable, showEstimate } from "./readable.ts";
export type * from "./tap.ts";
export { writeTapJson } from "./write-tap.ts";
