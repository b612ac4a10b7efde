export { type BellPlan, type BellTruth, renderBell, type SyntheticBell } from "./bell.ts";
export { type Bound, boundOf, gapInLinewidths, type ModeBound, seeable } from "./crb.ts";
export { BELL_KINDS, type BellKind, makeBell } from "./kinds.ts";
export { decayRateOfT60, linewidthHz, type TrueMode } from "./modes.ts";
export { whiteNoise } from "./noise.ts";
export { makeRandom, type Random } from "./random.ts";
export { type KnownStrike, ringOf } from "./ring-of.ts";
export { type BellScore, type MatchedMode, type ModeEstimate, scoreBell } from "./score.ts";
export { countOf, type ErrorSummary, type ModeClass, summarise, summariseModes } from "./summary.ts";
