import type { FLACDecoder } from "@wasm-audio-decoders/flac";
import { secondsText } from "./bytes.ts";
import { findFlacFrames, readFlacStart } from "./flac-frames.ts";
import { joinPieces } from "./join-pieces.ts";
import { checkLength, checkShape } from "./limits.ts";
import { type Recording, UnreadableAudioError } from "./recording.ts";
import { withDecoder } from "./with-decoder.ts";

/**
 * FLAC through libFLAC. Only frames proved by their check sums reach the decoder, and the recording ends before
 * the first one that is not: a stretch missing in the middle would put all that follows out of time.
 *
 * @param marker offset of the "fLaC" the stream begins with
 * @throws UnreadableAudioError
 */
export async function decodeFlac(bytes: Uint8Array, marker: number): Promise<Recording> {
  const start = readFlacStart(bytes, marker);
  if (start === null) {
    throw new UnreadableAudioError(
      "The FLAC file ends inside its header or its header is damaged: copy it again.",
    );
  }
  const { frames, broken } = findFlacFrames(bytes, start.firstFrame);

  const { FLACDecoder } = await import("@wasm-audio-decoders/flac");
  const decoded = await withDecoder(new FLACDecoder(), (decoder) => decodeFrames(decoder, frames));
  const { pieces, samples, sampleRateHz, bits } = decoded;
  if (samples === 0) {
    throw new UnreadableAudioError(
      "No sound can be read from the FLAC file, which is damaged or cut short: copy it again.",
    );
  }
  const warnings: string[] = [];
  if (broken || decoded.stopped || samples < start.totalSamples) {
    const end = secondsText(samples, sampleRateHz);
    const ofTotal =
      start.totalSamples > samples ? ` of ${secondsText(start.totalSamples, sampleRateHz)}` : "";
    warnings.push(
      `The FLAC file is damaged or cut short after ${end}${ofTotal}; only what comes before is used.`,
    );
  }
  const channels = joinPieces(pieces);
  for (const channel of channels) rescale(channel, bits);
  return { format: "FLAC", lossy: false, sampleRateHz, bits, channels, warnings };
}

interface Decoded {
  pieces: Float32Array[][];
  samples: number;
  sampleRateHz: number;
  bits: number;
  /** True where a frame was no good after all, or of another shape than the first. */
  stopped: boolean;
}

async function decodeFrames(decoder: FLACDecoder, frames: Uint8Array[]): Promise<Decoded> {
  const result: Decoded = { pieces: [], samples: 0, sampleRateHz: 0, bits: 0, stopped: false };
  for (const frame of frames) {
    const { channelData, samplesDecoded, sampleRate, bitDepth, errors } = await decoder.decodeFrames([frame]);
    const isFirst = result.pieces.length === 0;
    const sameShape =
      isFirst ||
      (sampleRate === result.sampleRateHz &&
        bitDepth === result.bits &&
        channelData.length === result.pieces[0].length);
    if (errors.length > 0 || samplesDecoded === 0 || !sameShape) return { ...result, stopped: true };
    result.sampleRateHz = sampleRate;
    result.bits = bitDepth;
    result.samples += samplesDecoded;
    result.pieces.push(channelData);
    checkShape(channelData.length, sampleRate);
    checkLength(result.samples, channelData.length);
  }
  return result;
}

/**
 * The decoder divides the integer code by 2^(bits-1) - 1; full scale here is 2^(bits-1). Up to 24 bits the code
 * comes back by rounding, so the samples are exact; beyond, float32 has no room for it anyway.
 */
function rescale(channel: Float32Array, bits: number): void {
  const theirs = 2 ** (bits - 1) - 1;
  const ours = 2 ** (bits - 1);
  for (let i = 0; i < channel.length; i++) channel[i] = Math.round(channel[i] * theirs) / ours;
}
