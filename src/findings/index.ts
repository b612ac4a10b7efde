export type { Input, Measured } from "./finding.ts";
export { runFindings } from "./run.ts";
export { tunablePartials } from "./tuning.ts";
export { withholdDecays } from "./withheld.ts";
