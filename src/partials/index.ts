export { fitModes, type ModeFit } from "./fit-modes.ts";
export { totalAmplitude } from "./label-lines.ts";
export type { CombinationLine, Mode, SteadyLine } from "./mode.ts";
export type { RingDown } from "./ring-down.ts";
