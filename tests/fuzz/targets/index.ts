import type { Target } from "../target.ts";
import { ARGUMENTS_TARGET } from "./arguments.ts";
import { AUDIO_TARGETS } from "./audio.ts";
import { MESH_TARGET } from "./mesh.ts";
import { PLAN_TARGET } from "./plan.ts";
import { PROFILE_TARGET } from "./profile.ts";
import { SAMPLES_TARGET } from "./samples.ts";
import { SAVED_TARGET } from "./saved.ts";
import { SERIES_TARGET } from "./series.ts";

/** Everything that is fuzzed. What a case looks like is known to its target alone. */
export const TARGETS = [
  ...AUDIO_TARGETS,
  MESH_TARGET,
  SERIES_TARGET,
  PROFILE_TARGET,
  SAVED_TARGET,
  PLAN_TARGET,
  ARGUMENTS_TARGET,
  SAMPLES_TARGET,
] as unknown as readonly Target<unknown>[];
