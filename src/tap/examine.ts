import {
  type ChannelStatistics,
  channelStatistics,
  findClipping,
  type OpenRecording,
  type Samples,
} from "../audio/index.ts";
import type { RecordingInfo } from "../measurement/index.ts";
import { findStrikes, type QuietStretch, type Strike } from "../strike/index.ts";
import { type ChannelWithOffset, chooseChannels, withoutOffsets } from "./channels.ts";

/** What is known of a recording before anything is fitted: plain data, without its samples. */
export interface ExaminedRecording {
  info: RecordingInfo;
  /** Where no strike was found, one sentence why; else null. */
  reason: string | null;
  sampleCount: number;
  /** The channels that are fitted, and their offsets. */
  channels: ChannelWithOffset[];
  /** Variance per sample of the rounding. */
  noiseFloor: number;
  quiet: QuietStretch | null;
  /** The best first, the others as they were struck. */
  strikes: FoundStrike[];
}

export interface FoundStrike {
  strike: Strike;
  /** One past the last sample that is measured. */
  endSample: number;
}

/** A ring is measured over at most so many samples after the blow: 44 s at 192 kHz, 3 min at 48 kHz. */
const MOST_RING_SAMPLES = 2 ** 23;

/** Variance of rounding to `bits`, per sample at full scale 1; coded and float samples have a floor of their own. */
function quantiserVariance(bits: number | null): number {
  return (2 / 2 ** Math.min(bits ?? 24, 24)) ** 2 / 12;
}

/**
 * Finds what is to be measured in a recording: the channels, the strikes, the quiet. Goes through the samples block by
 * block, so that a recording may be longer than memory.
 *
 * @param file name without folders
 */
export function examineRecording(file: string, recording: OpenRecording): ExaminedRecording {
  const { sampleRateHz, sampleCount, bits } = recording;
  const statistics: ChannelStatistics[] = channelStatistics(recording);
  const { channels, use, dcOffset } = chooseChannels(recording, statistics);
  const clipping = findClipping(recording, statistics);
  const sound: Samples = withoutOffsets(recording, channels);
  const search = findStrikes(sound, sampleRateHz, clipping.stretches);
  const order = search.strikes
    .map((_, i) => i)
    .sort((a, b) => Number(b === search.best) - Number(a === search.best) || a - b);
  return {
    info: {
      file,
      format: recording.format,
      lossy: recording.lossy,
      sampleRateHz,
      channels: recording.channelCount,
      bits,
      durationS: sampleCount / sampleRateHz,
      clipped: clipping.clipped,
      clippedSamples: clipping.clippedSamples,
      dcOffset,
      channelUse: use,
      // Of several recordings one may hold nothing; it must not be passed over in silence.
      warnings: search.reason === null ? recording.warnings : [...recording.warnings, search.reason],
    },
    reason: search.reason,
    sampleCount,
    channels,
    noiseFloor: quantiserVariance(bits),
    quiet: search.quiet,
    strikes: order.map((i) => ({
      strike: search.strikes[i],
      endSample: endOfUse(search.strikes[i], search.strikes[i + 1], sampleCount),
    })),
  };
}

/**
 * Where the whole sound meets the noise, single partials still stand far over the noise of their own narrow band, so the
 * fit goes on to the next strike or the end of the recording; only a hand on the bell ends it.
 */
function endOfUse(strike: Strike, next: Strike | undefined, length: number): number {
  const most = strike.onsetSample + MOST_RING_SAMPLES;
  if (strike.endedBy !== "noise floor") return Math.min(most, strike.endSample);
  return Math.min(most, next ? Math.max(strike.endSample, next.onsetSample - 1) : length);
}
