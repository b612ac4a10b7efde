import { findClipping, type Recording } from "../audio/index.ts";
import type { RecordingInfo, StrikeInfo } from "../measurement/index.ts";
import type { RingDown } from "../partials/index.ts";
import { findStrikes, type QuietStretch, type Strike } from "../strike/index.ts";
import { chooseChannels } from "./channels.ts";

export interface TapInput {
  file: string;
  recording: Recording;
}

/** One strike with the audio that it is measured from. */
export interface StrikeAudio {
  recording: number;
  strike: Strike;
  ring: RingDown;
  quiet: QuietStretch | null;
}

export interface FoundStrikes {
  recordings: RecordingInfo[];
  /** Of all recordings; within each the best first. */
  strikes: StrikeAudio[];
  /** Why a recording gave no strike, one sentence each. */
  reasons: string[];
}

/** Variance of rounding to `bits`, per sample at full scale 1; coded and float samples have a floor of their own. */
function quantiserVariance(bits: number | null): number {
  return (2 / 2 ** Math.min(bits ?? 24, 24)) ** 2 / 12;
}

export function findAllStrikes(inputs: TapInput[]): FoundStrikes {
  const found: FoundStrikes = { recordings: [], strikes: [], reasons: [] };
  inputs.forEach(({ file, recording }, index) => {
    const { channels, use, dcOffset } = chooseChannels(recording);
    const clipping = findClipping(recording.channels);
    const search = findStrikes(channels, recording.sampleRateHz, clipping.stretches);
    found.recordings.push({
      file,
      format: recording.format,
      lossy: recording.lossy,
      sampleRateHz: recording.sampleRateHz,
      channels: recording.channels.length,
      bits: recording.bits,
      durationS: (recording.channels[0]?.length ?? 0) / recording.sampleRateHz,
      clipped: clipping.clipped,
      clippedSamples: clipping.clippedSamples,
      dcOffset,
      channelUse: use,
      // Of several recordings one may hold nothing; it must not be passed over in silence.
      warnings: search.reason === null ? recording.warnings : [...recording.warnings, search.reason],
    });
    if (search.reason !== null)
      found.reasons.push(inputs.length > 1 ? `${file}: ${search.reason}` : search.reason);
    const order = search.strikes
      .map((_, i) => i)
      .sort((a, b) => Number(b === search.best) - Number(a === search.best) || a - b);
    for (const i of order) {
      const strike = search.strikes[i];
      found.strikes.push({
        recording: index,
        strike,
        quiet: search.quiet,
        ring: {
          channels,
          sampleRateHz: recording.sampleRateHz,
          onsetSample: strike.onsetSample,
          ringStartSample: strike.ringStartSample,
          endSample: endOfUse(strike, search.strikes[i + 1], channels[0]?.length ?? 0),
          bounced: strike.contactSamples.length > 1,
          quiet: search.quiet,
          noiseFloor: quantiserVariance(recording.bits),
        },
      });
    }
  });
  return found;
}

/**
 * Where the whole sound meets the noise, single partials still stand far over the noise of their own narrow band, so the
 * fit goes on to the next strike or the end of the recording; only a hand on the bell ends it.
 */
function endOfUse(strike: Strike, next: Strike | undefined, length: number): number {
  if (strike.endedBy !== "noise floor") return strike.endSample;
  return next ? Math.max(strike.endSample, next.onsetSample - 1) : length;
}

export function strikeInfo(audio: StrikeAudio, fitStartSample: number, leftOut: string | null): StrikeInfo {
  const { strike, ring } = audio;
  const s = (sample: number) => sample / ring.sampleRateHz;
  return {
    recording: audio.recording,
    onsetS: s(strike.onsetSample),
    contactsS: strike.contactSamples.map(s),
    fitStartS: s(fitStartSample),
    endS: s(ring.endSample),
    endedBy: strike.endedBy,
    peakDbfs: strike.peakDbfs,
    usedS: s(ring.endSample - fitStartSample),
    snrDb: strike.snrDb,
    clipped: strike.clipped,
    rattle: strike.rattle,
    leftOut,
  };
}
