import { hasText, viewOf } from "./bytes.ts";
import table from "./mpeg-bitrates.json" with { type: "json" };

export interface MpegFrame {
  layer: 1 | 2 | 3;
  version: "1" | "2" | "2.5";
  sampleRateHz: number;
  mono: boolean;
  /** Of the whole frame with its header. */
  byteLength: number;
  samples: number;
}

export interface MpegStream {
  /** The unbroken run of frames, which all have the first one's layer, version, rate and channel count. */
  frameBytes: Uint8Array;
  first: MpegFrame;
  frameCount: number;
  /** Frames of sound by the encoder's own note in the first frame; null where it left none. */
  promisedFrameCount: number | null;
  /** True where something other than a tag or padding follows the run. */
  broken: boolean;
}

/** How far into a file a stream may begin after its tag. */
const SEARCH_BYTES = 65536;

/**
 * The header at `offset`, or null where none stands. Free-format streams (bitrate index 0) are not recognised.
 */
export function readMpegHeader(bytes: Uint8Array, offset: number): MpegFrame | null {
  if (offset + 4 > bytes.length || bytes[offset] !== 0xff || (bytes[offset + 1] & 0xe0) !== 0xe0) return null;
  const version = ([`2.5`, null, "2", "1"] as const)[(bytes[offset + 1] >> 3) & 3];
  const layer = ([null, 3, 2, 1] as const)[(bytes[offset + 1] >> 1) & 3];
  if (version === null || layer === null) return null;
  const bitrates = table.bitratesKbps[version === "1" ? "1" : "2"][layer];
  const bitrateKbps: number | undefined = bitrates[(bytes[offset + 2] >> 4) - 1];
  const sampleRateHz: number | undefined = table.sampleRatesHz[version][(bytes[offset + 2] >> 2) & 3];
  if (bitrateKbps === undefined || sampleRateHz === undefined) return null;
  const padding = (bytes[offset + 2] >> 1) & 1;
  const samples = layer === 1 ? 384 : layer === 3 && version !== "1" ? 576 : 1152;
  // A slot is 4 bytes in layer I and 1 byte in the others
  const slotBytes = layer === 1 ? 4 : 1;
  const slots = Math.floor(((samples / 8 / slotBytes) * bitrateKbps * 1000) / sampleRateHz) + padding;
  const mono = bytes[offset + 3] >> 6 === 3;
  return { layer, version, sampleRateHz, mono, byteLength: slots * slotBytes, samples };
}

function sameStream(a: MpegFrame, b: MpegFrame): boolean {
  return (
    a.layer === b.layer && a.version === b.version && a.sampleRateHz === b.sampleRateHz && a.mono === b.mono
  );
}

/** Offset behind an ID3v2 tag at the beginning, 0 where there is none or where its size is a lie. */
export function skipId3(bytes: Uint8Array): number {
  if (!hasText(bytes, 0, "ID3") || bytes.length < 10) return 0;
  // Seven bits a byte (ID3v2.3 clause 3.1)
  const size = (bytes[6] << 21) | (bytes[7] << 14) | (bytes[8] << 7) | bytes[9];
  const footer = bytes[5] & 0x10 ? 10 : 0;
  const end = 10 + size + footer;
  return end < bytes.length ? end : 0;
}

/** Offset of the first frame that another of the same stream, or the end of the file, follows; null where none is. */
function findFirstFrame(bytes: Uint8Array): number | null {
  const begin = skipId3(bytes);
  const end = Math.min(bytes.length, begin + SEARCH_BYTES);
  for (let offset = begin; offset < end; offset++) {
    const frame = readMpegHeader(bytes, offset);
    if (frame === null) continue;
    const next = offset + frame.byteLength;
    if (next === bytes.length) return offset;
    const follower = readMpegHeader(bytes, next);
    if (follower !== null && sameStream(frame, follower)) return offset;
  }
  return null;
}

/** True when the bytes hold MPEG audio, layer I, II or III. */
export function startsMpegAudio(bytes: Uint8Array): boolean {
  return findFirstFrame(bytes) !== null;
}

/** The unbroken run of frames that the file begins with; null where there is none. */
export function findMpegStream(bytes: Uint8Array): MpegStream | null {
  const begin = findFirstFrame(bytes);
  if (begin === null) return null;
  const first = readMpegHeader(bytes, begin)!;
  let frameCount = 0;
  let offset = begin;
  for (;;) {
    const frame = readMpegHeader(bytes, offset);
    if (frame === null || !sameStream(first, frame) || offset + frame.byteLength > bytes.length) break;
    frameCount++;
    offset += frame.byteLength;
  }
  const promisedFrameCount = readFrameCount(bytes, begin, first);
  return {
    frameBytes: bytes.subarray(begin, offset),
    first,
    frameCount,
    promisedFrameCount,
    broken: !isTail(bytes, offset),
  };
}

/** What may follow the last frame: nothing, zeros, or one of the tags players write at the end. */
function isTail(bytes: Uint8Array, offset: number): boolean {
  if (["TAG", "APETAGEX", "LYRICSBEGIN"].some((tag) => hasText(bytes, offset, tag))) return true;
  for (let i = offset; i < bytes.length; i++) {
    if (bytes[i] !== 0) return false;
  }
  return true;
}

/** The "Xing" or "Info" note of encoders: a frame of silence whose side information is followed by the count. */
function readFrameCount(bytes: Uint8Array, begin: number, first: MpegFrame): number | null {
  const sideInfoBytes = first.version === "1" ? (first.mono ? 17 : 32) : first.mono ? 9 : 17;
  const note = begin + 4 + sideInfoBytes;
  if (!hasText(bytes, note, "Xing") && !hasText(bytes, note, "Info")) return null;
  if (note + 12 > bytes.length) return null;
  const view = viewOf(bytes);
  const hasCount = (view.getUint32(note + 4) & 1) === 1;
  return hasCount ? view.getUint32(note + 8) : null;
}
