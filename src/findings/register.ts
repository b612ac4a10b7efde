import { clipping } from "./clipping.ts";
import { clock } from "./clock.ts";
import { coding } from "./coding.ts";
import { cutOff } from "./cut-off.ts";
import { damping } from "./damping.ts";
import { file } from "./file.ts";
import type { FindingRule } from "./finding.ts";
import { freeDecay } from "./free-decay.ts";
import { gainControl } from "./gain-control.ts";
import { glide } from "./glide.ts";
import { handDamping } from "./hand-damping.ts";
import { length } from "./length.ts";
import { noise } from "./noise.ts";
import { noiseReduction } from "./noise-reduction.ts";
import { otherSounds } from "./other-sounds.ts";
import { pitch } from "./pitch.ts";
import { secondBell } from "./second-bell.ts";
import { soundness } from "./soundness.ts";
import { strike } from "./strike.ts";
import { strikeSpread } from "./strike-spread.ts";
import { sustain } from "./sustain.ts";
import { tuning } from "./tuning.ts";
import { warble } from "./warble.ts";

/**
 * Every finding, what a founder asks first at the top: the casting (is it sound, what note, in tune, warble, ring),
 * then whether the ring-down can be trusted, then advice for the next recording.
 */
export const REGISTER: readonly FindingRule[] = [
  soundness,
  pitch,
  tuning,
  warble,
  sustain,
  damping,
  secondBell,
  freeDecay,
  gainControl,
  noiseReduction,
  glide,
  strikeSpread,
  strike,
  clipping,
  noise,
  length,
  handDamping,
  cutOff,
  otherSounds,
  coding,
  clock,
  file,
];
