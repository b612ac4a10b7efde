import type { Sustain } from "../measurement/index.ts";
import type { StrikeAudio } from "./strikes.ts";
export function sustainOf(_audio: StrikeAudio): Sustain {
  return { t60S: null, edtS: null, t20S: null, t30S: null, audibleS: null };
}
