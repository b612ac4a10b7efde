import type { RingDown } from "../../../src/partials/index.ts";

/** When the rod touched, in samples from the start of the recording. */
export interface KnownStrike {
  onsetSample: number;
  lastContactSample: number;
}

/** From the last contact to where a fit may begin, s; longer where the rod bounced. */
const CLEAR_S = 0.006;
const CLEAR_OF_BOUNCE_S = 0.04;

/** The ring-down of a recording whose strike is known, rounded to 16 bits. */
export function ringOf(channels: Float32Array[], sampleRateHz: number, strike: KnownStrike): RingDown {
  const { onsetSample, lastContactSample } = strike;
  const bounced = lastContactSample > onsetSample;
  const clearS = bounced ? CLEAR_OF_BOUNCE_S : CLEAR_S;
  return {
    channels,
    sampleRateHz,
    onsetSample,
    ringStartSample: lastContactSample + Math.round(clearS * sampleRateHz),
    endSample: channels[0].length,
    bounced,
    quiet: { startSample: 0, endSample: onsetSample },
    noiseFloor: 2 ** -30 / 12,
  };
}
