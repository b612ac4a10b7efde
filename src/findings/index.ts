export type { Input, Measured } from "./finding.ts";
export { runFindings } from "./run.ts";
export { withholdDecays } from "./withheld.ts";
