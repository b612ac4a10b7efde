export type { Input, Measured } from "./finding.ts";
export { runFindings } from "./run.ts";
export { tunablePartials } from "./tuning.ts";
export { askingFindings, spoilingFindings } from "./urgency.ts";
export { beatPeriod } from "./warble-words.ts";
export { withholdDecays } from "./withheld.ts";
