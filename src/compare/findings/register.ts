import { brightness } from "./brightness.ts";
import { damping } from "./damping.ts";
import { decay } from "./decay.ts";
import { loudness } from "./loudness.ts";
import { material } from "./material.ts";
import { measurement } from "./measurement.ts";
import { pattern } from "./pattern.ts";
import { pitch } from "./pitch.ts";
import type { CompareRule } from "./rule.ts";
import { splits } from "./splits.ts";
import { strikeNote } from "./strike-note.ts";
import { strikes } from "./strikes.ts";
import { sustain } from "./sustain.ts";
import { unpaired } from "./unpaired.ts";

/** Every finding, what a founder asks first at the top; the result on top is their clauses in this order. */
export const REGISTER: readonly CompareRule[] = [
  pattern,
  decay,
  pitch,
  material,
  damping,
  strikeNote,
  sustain,
  brightness,
  loudness,
  splits,
  unpaired,
  strikes,
  measurement,
];
