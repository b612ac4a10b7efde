import type { OpenRecording } from "../audio/index.ts";
import type { StrikeInfo } from "../measurement/index.ts";

/** Bytes of 16-bit sound that a report may carry: 47 s of stereo at 44.1 kHz; it grows by a third in the page. */
export const MOST_SOUND_BYTES = 8 * 2 ** 20;

/** Kept before the strike, so that it does not begin with a click. */
const LEAD_S = 0.25;

export interface ReportSound {
  channels: Float32Array[];
  /** Where it was cut to, in seconds of the recording; null when it is whole. */
  cut: { fromS: number; toS: number } | null;
}

/**
 * What the report plays: the whole recording where it is short enough, else the strike that was used for longest,
 * from just before its onset for as long as fits.
 *
 * @param recording the first recording of the measurement
 * @param strikes the strikes of the measurement; those of other recordings are passed over
 */
export function soundForReport(recording: OpenRecording, strikes: StrikeInfo[]): ReportSound {
  const { sampleRateHz, channelCount, sampleCount: length } = recording;
  const room = Math.floor(MOST_SOUND_BYTES / (2 * channelCount));
  if (length <= room) return { channels: recording.read(0, length), cut: null };
  const longest = strikes
    .filter((strike) => strike.recording === 0)
    .reduce<StrikeInfo | null>((best, strike) => (best && best.usedS >= strike.usedS ? best : strike), null);
  const from = Math.max(0, Math.floor(((longest?.onsetS ?? 0) - LEAD_S) * sampleRateHz));
  const end = longest ? Math.ceil(longest.endS * sampleRateHz) : length;
  const to = Math.min(length, end, from + room);
  return {
    channels: recording.read(from, to),
    cut: { fromS: from / sampleRateHz, toS: to / sampleRateHz },
  };
}
