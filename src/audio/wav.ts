import type { ByteSource } from "./byte-source.ts";
import { secondsText } from "./bytes.ts";
import { checkShape, MOST_HELD_VALUES } from "./limits.ts";
import { nonFiniteWarning } from "./non-finite.ts";
import { type OpenRecording, UnreadableAudioError } from "./recording.ts";
import { BLOCK_SAMPLES } from "./samples.ts";
import { findWavChunks, type Span } from "./wav-chunks.ts";
import { MOST_FORMAT_BYTES, readWavFormat, type WavFormat } from "./wav-format.ts";
import { decodeFrames } from "./wav-samples.ts";

/**
 * Opens a WAV, RF64 or BW64 file: reads its header, and its samples where they are wanted. A short one is decoded at
 * once and held; of a long one only what is being looked at is in memory. Nothing that the header says of sizes is
 * believed further than the file reaches.
 *
 * @param mostHeldValues samples over all channels up to which all are held
 * @throws UnreadableAudioError; its `read` throws one too where the file has become shorter meanwhile
 */
export function openWav(source: ByteSource, mostHeldValues = MOST_HELD_VALUES): OpenRecording {
  const { fmt, data, promisedDataBytes, searched } = findWavChunks(source);
  if (fmt === null || data === null) {
    const missing = fmt === null ? "format" : "data";
    throw new UnreadableAudioError(
      `The WAV file ends before its ${missing} chunk or has none: copy it again.`,
    );
  }
  const format = readWavFormat(source.readAt(fmt.start, Math.min(fmt.end - fmt.start, MOST_FORMAT_BYTES)));
  const { channelCount, sampleRateHz, bytesPerValue } = format;
  checkShape(channelCount, sampleRateHz);
  const frameBytes = channelCount * bytesPerValue;
  const sampleCount = Math.floor((data.end - data.start) / frameBytes);

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
    const present = secondsText(sampleCount, sampleRateHz);
    warnings.push(`The WAV file is cut short: its header promises ${promised} and ${present} are there.`);
  }
  const read = (from: number, to: number) => readFrames(source, data, format, from, to);
  const isShort = sampleCount * channelCount <= mostHeldValues;
  const held = isShort ? readAll(read, channelCount, sampleCount) : null;
  if (format.coding === "float") {
    const replaced = countNonFinite(source, data, format, sampleCount);
    if (replaced > 0) warnings.push(nonFiniteWarning(replaced));
  }
  return {
    format: format.coding === "float" ? "WAV (float)" : "WAV",
    lossy: false,
    sampleRateHz,
    bits: format.bits,
    warnings,
    channelCount,
    sampleCount,
    held,
    read: held === null ? read : (from, to) => held.map((channel) => channel.subarray(from, to)),
  };
}

function readFrames(
  source: ByteSource,
  data: Span,
  format: WavFormat,
  from: number,
  to: number,
): Float32Array[] {
  const frameBytes = format.channelCount * format.bytesPerValue;
  const bytes = source.readAt(data.start + from * frameBytes, (to - from) * frameBytes);
  if (bytes.length < (to - from) * frameBytes) {
    throw new UnreadableAudioError(
      "The file became shorter while it was read: wait until it is written and try again.",
    );
  }
  return decodeFrames(bytes, format);
}

/** Block by block, so that the bytes and the samples are not both in memory as a whole. */
function readAll(
  read: (from: number, to: number) => Float32Array[],
  channelCount: number,
  sampleCount: number,
): Float32Array[] {
  const channels = Array.from({ length: channelCount }, () => new Float32Array(sampleCount));
  for (let from = 0; from < sampleCount; from += BLOCK_SAMPLES) {
    const block = read(from, Math.min(sampleCount, from + BLOCK_SAMPLES));
    for (let c = 0; c < channelCount; c++) channels[c].set(block[c], from);
  }
  return channels;
}

/** Floats are the only samples that can be no number; one look through them tells how many. */
function countNonFinite(source: ByteSource, data: Span, format: WavFormat, sampleCount: number): number {
  const { channelCount, bytesPerValue } = format;
  const frameBytes = channelCount * bytesPerValue;
  let count = 0;
  for (let from = 0; from < sampleCount; from += BLOCK_SAMPLES) {
    const frames = Math.min(BLOCK_SAMPLES, sampleCount - from);
    const bytes = source.readAt(data.start + from * frameBytes, frames * frameBytes);
    const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
    for (let p = 0; p + bytesPerValue <= bytes.length; p += bytesPerValue) {
      const value = bytesPerValue === 4 ? view.getFloat32(p, true) : view.getFloat64(p, true);
      // What does not fit into single precision is no number here either.
      if (!Number.isFinite(Math.fround(value))) count++;
    }
  }
  return count;
}
