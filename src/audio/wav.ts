import wavDecoder from "wav-decoder";
import { secondsText } from "./bytes.ts";
import { checkLength, checkShape } from "./limits.ts";
import { type Recording, UnreadableAudioError } from "./recording.ts";
import { findWavChunks } from "./wav-chunks.ts";
import { readWavFormat, type WavFormat } from "./wav-format.ts";
import { WAV_HEADER_BYTES, writeWavHeader } from "./wav-header.ts";

const BLOCK_FRAMES = 1 << 16;

/**
 * Reads a WAV, RF64 or BW64 file. The samples go to wav-decoder block by block, each as a small file with a plain
 * header of our own, so that nothing the file says about itself is believed twice. Integer codes c of n bits become
 * c / 2^(n-1), the same on both sides of zero.
 *
 * @throws UnreadableAudioError
 */
export function decodeWav(bytes: Uint8Array): Recording {
  const { fmt, data, promisedDataBytes, searched } = findWavChunks(bytes);
  if (fmt === null || data === null) {
    const missing = fmt === null ? "format" : "data";
    throw new UnreadableAudioError(
      `The WAV file ends before its ${missing} chunk or has none: copy it again.`,
    );
  }
  const format = readWavFormat(bytes, fmt);
  const { channelCount, sampleRateHz, bytesPerValue } = format;
  checkShape(channelCount, sampleRateHz);
  const frameBytes = channelCount * bytesPerValue;
  const frames = Math.floor((data.end - data.start) / frameBytes);
  checkLength(frames, channelCount);

  const warnings: string[] = [];
  if (searched)
    warnings.push("The WAV file's chunks do not follow one another; its sound had to be searched for.");
  if (!format.consistent) {
    warnings.push(
      `The WAV file's header contradicts itself about its block size; ${8 * bytesPerValue} bits per sample were taken.`,
    );
  }
  if (promisedDataBytes === null) {
    warnings.push("The WAV file's header does not say how long it is; it was read to its end.");
  } else if (promisedDataBytes > data.end - data.start) {
    const promised = secondsText(promisedDataBytes / frameBytes, sampleRateHz);
    const present = secondsText(frames, sampleRateHz);
    warnings.push(`The WAV file is cut short: its header promises ${promised} and ${present} are there.`);
  }
  return {
    format: format.coding === "float" ? "WAV (float)" : "WAV",
    lossy: false,
    sampleRateHz,
    bits: format.bits,
    channels: decodeFrames(bytes.subarray(data.start, data.start + frames * frameBytes), format),
    warnings,
  };
}

function decodeFrames(data: Uint8Array, format: WavFormat): Float32Array[] {
  const { coding, channelCount, sampleRateHz, bytesPerValue } = format;
  // wav-decoder takes the lowest 24-bit code for the highest and puts the middle of 8 bits between two codes; one
  // size up, where the same values are exact, it does neither
  const widened = coding === "pcm" && bytesPerValue % 2 === 1 ? bytesPerValue + 1 : bytesPerValue;
  const values = data.length / bytesPerValue;
  const frames = values / channelCount;
  const channels = Array.from({ length: channelCount }, () => new Float32Array(frames));
  const blockValues = Math.min(frames, BLOCK_FRAMES) * channelCount;
  const block = new ArrayBuffer(WAV_HEADER_BYTES + blockValues * widened);
  const view = new DataView(block);
  const body = new Uint8Array(block, WAV_HEADER_BYTES);
  for (let done = 0; done < values; done += blockValues) {
    const count = Math.min(blockValues, values - done);
    const source = data.subarray(done * bytesPerValue, (done + count) * bytesPerValue);
    writeWavHeader(view, {
      coding: coding === "pcm" ? 1 : 3,
      channelCount,
      sampleRateHz,
      bits: 8 * widened,
      dataBytes: count * widened,
    });
    if (widened === bytesPerValue) body.set(source);
    else if (bytesPerValue === 1) widen8(source, body);
    else widen24(source, body);
    const decoded = wavDecoder.decode.sync(block, { symmetric: true });
    for (let i = 0; i < channelCount; i++) channels[i].set(decoded.channelData[i], done / channelCount);
  }
  return channels;
}

/** 8-bit codes, whose middle is 128, to 16-bit codes, whose middle is 0. */
function widen8(source: Uint8Array, target: Uint8Array): void {
  for (let i = 0; i < source.length; i++) {
    target[2 * i] = 0;
    target[2 * i + 1] = source[i] ^ 0x80;
  }
}

/** 24-bit codes to the upper bytes of 32-bit codes. */
function widen24(source: Uint8Array, target: Uint8Array): void {
  for (let from = 0, to = 0; from < source.length; from += 3, to += 4) {
    target[to] = 0;
    target[to + 1] = source[from];
    target[to + 2] = source[from + 1];
    target[to + 3] = source[from + 2];
  }
}
