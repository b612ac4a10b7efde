import type { Sustain } from "../measurement/index.ts";
import { decayCurve } from "./decay-curve.ts";
import { noisePower } from "./noise-power.ts";
import { reverberationTimes } from "./reverberation-times.ts";
import type { QuietStretch } from "./strike.ts";

/**
 * How long the whole sound of a strike lasts, all channels together; every value null where no decay stands over the noise.
 * `endSample` is the end of the ring or later, up to the next strike: where the ring has met the noise the rest shows how loud that is.
 */
export function sustainOf(
  channels: Float32Array[],
  sampleRateHz: number,
  onsetSample: number,
  endSample: number,
  quiet: QuietStretch | null,
): Sustain {
  const noise = noisePower(channels, sampleRateHz, quiet, onsetSample, endSample);
  const curve = decayCurve(channels, sampleRateHz, onsetSample, endSample, noise);
  if (curve === null) return { t60S: null, edtS: null, t20S: null, t30S: null, audibleS: null };
  return reverberationTimes(curve);
}
