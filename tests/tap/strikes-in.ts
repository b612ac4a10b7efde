import { openDecoded, type Recording } from "../../src/audio/index.ts";
import { examineRecording, type StrikeAudio, strikeAudio } from "../../src/tap/index.ts";

/** The strikes of a recording with their sound, the best first. */
export function strikesIn(recording: Recording): StrikeAudio[] {
  const open = openDecoded(recording);
  const examined = examineRecording("bell.wav", open);
  return examined.strikes.map((_, i) => strikeAudio(open, examined, i));
}
