export { type BellPlan, type BellTruth, renderBell, type SyntheticBell } from "./bell.ts";
export { BELL_KINDS, type BellKind, makeBell } from "./kinds.ts";
export { linewidthHz, type TrueMode } from "./modes.ts";
export { makeRandom, type Random } from "./random.ts";
