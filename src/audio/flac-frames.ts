import { createCrc } from "./crc.ts";

/** FLAC's framing, by the sections of RFC 9639. */

export interface FlacStart {
  /** Offset of the first byte behind the metadata blocks. */
  firstFrame: number;
  /** Samples a channel by STREAMINFO; 0 where the encoder did not know. */
  totalSamples: number;
}

export interface FlacFrames {
  /** The unbroken run of frames from the first on, each proved by its check sum. */
  frames: Uint8Array[];
  /** True where bytes follow that are no whole frame. */
  broken: boolean;
}

interface FrameHeader {
  byteLength: number;
  blockSamples: number;
  /** The number written in the header: of the frame, or of its first sample when the block size varies. */
  number: number;
  numbersSamples: boolean;
}

const STREAMINFO_BYTES = 34;
const CRC8 = createCrc(8, 0x07);
const CRC16 = createCrc(16, 0x8005);

/** Section 8. Null where the blocks run out of the file or STREAMINFO is not the first. */
export function readFlacStart(bytes: Uint8Array, marker: number): FlacStart | null {
  let offset = marker + 4;
  let totalSamples = -1;
  for (;;) {
    if (offset + 4 > bytes.length) return null;
    const isLast = (bytes[offset] & 0x80) !== 0;
    const type = bytes[offset] & 0x7f;
    const size = (bytes[offset + 1] << 16) | (bytes[offset + 2] << 8) | bytes[offset + 3];
    const start = offset + 4;
    if (start + size > bytes.length) return null;
    if (totalSamples < 0) {
      if (type !== 0 || size < STREAMINFO_BYTES) return null;
      // 36 bits: the low half of byte 13 and the four behind it
      const low = (bytes[start + 14] << 24) | (bytes[start + 15] << 16) | (bytes[start + 16] << 8);
      totalSamples = (bytes[start + 13] & 0x0f) * 2 ** 32 + ((low | bytes[start + 17]) >>> 0);
    }
    offset = start + size;
    if (isLast) return { firstFrame: offset, totalSamples };
  }
}

/**
 * Cuts the stream into frames: a frame ends where its CRC-16 comes out 0 and the header of the frame due next
 * begins. The run ends at the end of the file or before the first frame that is damaged, cut or out of turn.
 */
export function findFlacFrames(bytes: Uint8Array, firstFrame: number): FlacFrames {
  const frames: Uint8Array[] = [];
  let start = firstFrame;
  let header = readFrameHeader(bytes, start);
  while (header !== null) {
    const end = findFrameEnd(bytes, start, header.byteLength);
    if (end === null) return { frames, broken: true };
    frames.push(bytes.subarray(start, end));
    const due = header.number + (header.numbersSamples ? header.blockSamples : 1);
    const next = readFrameHeader(bytes, end);
    if (next !== null && next.number !== due) return { frames, broken: true };
    start = end;
    header = next;
  }
  return { frames, broken: bytes.subarray(start).some((byte) => byte !== 0) };
}

/** End of the frame that begins at `start`, or null where its check sum never comes out right. */
function findFrameEnd(bytes: Uint8Array, start: number, headerBytes: number): number | null {
  let crc = 0;
  let zeroSince = -1;
  for (let i = start; i < bytes.length; i++) {
    if (crc === 0 && i > start + headerBytes) {
      if (zeroSince < 0) zeroSince = i;
      if (bytes[i] === 0xff && readFrameHeader(bytes, i) !== null) return i;
    } else {
      zeroSince = -1;
    }
    crc = CRC16.next(crc, bytes[i]);
  }
  if (crc !== 0) return null;
  // The last frame; zeros behind it leave the remainder at 0
  return zeroSince < 0 ? bytes.length : zeroSince;
}

/** Section 9.1, up to and with the CRC-8; null where no header stands. */
function readFrameHeader(bytes: Uint8Array, offset: number): FrameHeader | null {
  if (bytes[offset] !== 0xff || (bytes[offset + 1] & 0xfe) !== 0xf8 || offset + 6 > bytes.length) return null;
  const numbersSamples = (bytes[offset + 1] & 1) === 1;
  const blockCode = bytes[offset + 2] >> 4;
  const rateCode = bytes[offset + 2] & 0x0f;
  const leadByte = bytes[offset + 4];
  // The number is written as UTF-8 writes a character, up to seven bytes
  const extraBytes = leadByte < 0x80 ? 0 : Math.clz32(~(leadByte << 24)) - 1;
  if (blockCode === 0 || (leadByte >= 0x80 && extraBytes === 0) || extraBytes > 6) return null;
  let end = offset + 5 + extraBytes;
  let number = extraBytes === 0 ? leadByte : leadByte & (0x3f >> extraBytes);
  for (let i = offset + 5; i < end; i++) number = number * 64 + (bytes[i] & 0x3f);
  let blockSamples: number;
  if (blockCode === 6) blockSamples = bytes[end++] + 1;
  else if (blockCode === 7) blockSamples = bytes[end++] * 256 + bytes[end++] + 1;
  else if (blockCode === 1) blockSamples = 192;
  else blockSamples = blockCode < 6 ? 576 << (blockCode - 2) : 256 << (blockCode - 8);
  if (rateCode === 12) end += 1;
  else if (rateCode === 13 || rateCode === 14) end += 2;
  if (end >= bytes.length) return null;
  let crc = 0;
  for (let i = offset; i < end; i++) crc = CRC8.next(crc, bytes[i]);
  if (crc !== bytes[end]) return null;
  return { byteLength: end + 1 - offset, blockSamples, number, numbersSamples };
}
