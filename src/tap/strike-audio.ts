import type { OpenRecording } from "../audio/index.ts";
import { fitModes, type ModeFit, type RingDown } from "../partials/index.ts";
import type { QuietStretch } from "../strike/index.ts";
import type { ExaminedRecording } from "./examine.ts";

/** The stretch of a recording from which one strike is measured. */
export interface StrikeAudio {
  /** Its samples count from `firstSample` of the recording. */
  ring: RingDown;
  quiet: QuietStretch | null;
  firstSample: number;
}

/** Kept before the blow: the fit may look back to where it began. */
const LEAD_S = 0.1;
/** Of the quiet so much is kept, the part that ends it: a noise spectrum from 20 s is known to a few per cent. */
const MOST_QUIET_S = 20;

/**
 * Reads the stretch of one strike: from just before the blow to the end of the ring, and the quiet before or behind it
 * where it lies elsewhere. In memory is what this one strike needs.
 *
 * @param index of the strike in `examined.strikes`
 */
export function strikeAudio(
  recording: OpenRecording,
  examined: ExaminedRecording,
  index: number,
): StrikeAudio {
  const { sampleRateHz } = recording;
  const { strike, endSample } = examined.strikes[index];
  const from = Math.max(0, strike.onsetSample - Math.round(LEAD_S * sampleRateHz));
  const ringing = { from, to: endSample };
  const quiet = lastOfQuiet(examined.quiet, sampleRateHz);
  const parts = [ringing];
  let quietAt = 0;
  let ringAt = 0;
  if (quiet !== null) {
    const apart = { from: quiet.startSample, to: quiet.endSample };
    const length = apart.to - apart.from;
    if (apart.from >= from && apart.to <= endSample) quietAt = apart.from - from;
    else if (apart.to <= strike.onsetSample) {
      parts.unshift(apart);
      ringAt = length;
    } else {
      parts.push(apart);
      quietAt = endSample - from;
    }
  }
  const moved = quiet && {
    ...quiet,
    startSample: quietAt,
    endSample: quietAt + quiet.endSample - quiet.startSample,
  };
  const firstSample = from - ringAt;
  return {
    firstSample,
    quiet: moved,
    ring: {
      channels: readParts(recording, examined, parts),
      sampleRateHz,
      onsetSample: strike.onsetSample - firstSample,
      ringStartSample: strike.ringStartSample - firstSample,
      endSample: endSample - firstSample,
      bounced: strike.contactSamples.length > 1,
      quiet: moved,
      noiseFloor: examined.noiseFloor,
    },
  };
}

/** Measures the modes of one strike; the samples in the result count from the start of the recording. */
export function fitStrike(recording: OpenRecording, examined: ExaminedRecording, index: number): ModeFit {
  const { ring, firstSample } = strikeAudio(recording, examined, index);
  const fit = fitModes(ring);
  return { ...fit, startSample: fit.startSample + firstSample };
}

function lastOfQuiet(quiet: QuietStretch | null, sampleRateHz: number): QuietStretch | null {
  if (quiet === null) return null;
  const most = Math.round(MOST_QUIET_S * sampleRateHz);
  return { ...quiet, startSample: Math.max(quiet.startSample, quiet.endSample - most) };
}

/** The chosen channels over the parts, one behind the other, without their offsets. */
function readParts(
  recording: OpenRecording,
  { channels }: ExaminedRecording,
  parts: { from: number; to: number }[],
): Float32Array[] {
  const length = parts.reduce((sum, { from, to }) => sum + to - from, 0);
  const out = channels.map(() => new Float32Array(length));
  let at = 0;
  for (const { from, to } of parts) {
    const read = recording.read(from, to);
    channels.forEach(({ channel, offset }, c) => {
      const x = read[channel];
      const y = out[c];
      for (let i = 0; i < x.length; i++) y[at + i] = x[i] - offset;
    });
    at += to - from;
  }
  return out;
}
