export { NotMeasurableError } from "./errors.ts";
export { METHOD, measureTap } from "./measure-tap.ts";
export type { TapInput } from "./strikes.ts";
