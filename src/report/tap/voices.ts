import type { TapMeasurement, TapPartial } from "../../measurement/index.ts";
import type { VoiceMember, VoiceSpec } from "../chart-spec.ts";
import { shorten } from "../numbers.ts";
import { partialLabel } from "./words.ts";

/** 60 dB as a ratio of amplitudes is 1000, so the decay rate is ln 1000 over the 60 dB time. */
export const LN_1000 = Math.log(1000);

/** The damped sinusoids of one partial: its members, or itself where it is single. */
export function membersOf(partial: TapPartial): VoiceMember[] {
  return (partial.doublet?.members ?? [partial]).map((member) => [
    shorten(member.frequencyHz.value, 9),
    shorten(LN_1000 / member.decayTimeS.value),
    shorten(10 ** (member.levelDb.value / 20)),
    shorten(member.phaseRad.value),
  ]);
}

/** What can be heard: the bell put together again from its partials (mark null), and each partial alone. */
export function voices(m: TapMeasurement): VoiceSpec[] {
  if (m.partials.length === 0) return [];
  return [
    { mark: null, label: "the bell rebuilt from its partials", members: m.partials.flatMap(membersOf) },
    ...m.partials.map((partial, i) => ({
      mark: i,
      label: `${partialLabel(m, i)} alone, ${Math.round(partial.frequencyHz.value)} Hz`,
      members: membersOf(partial),
    })),
  ];
}
