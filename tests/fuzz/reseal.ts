import { createCrc } from "../../src/audio/crc.ts";

/**
 * Puts right the check sums of a file that was changed, as whoever builds a hostile file does. Without it nearly every
 * change to a FLAC or an Ogg file ends at the check sum, and the decoders behind it are never reached.
 */
const CRC8 = createCrc(8, 0x07);
const CRC16 = createCrc(16, 0x8005);
const CRC32 = createCrc(32, 0x04c11db7);

/** Ogg pages, RFC 3533 section 6: the sum at byte 22 over the page with that field at 0. */
export function resealOgg(bytes: Uint8Array): Uint8Array {
  const result = bytes.slice();
  const view = new DataView(result.buffer);
  for (let at = 0; at + 27 <= result.length; ) {
    const isPage = String.fromCharCode(...result.subarray(at, at + 4)) === "OggS";
    const segments = result[at + 26]!;
    let end = at + 27 + segments;
    for (let i = at + 27; i < Math.min(end, result.length); i++)
      end += i < at + 27 + segments ? result[i]! : 0;
    if (!isPage || end > result.length) {
      at++;
      continue;
    }
    view.setUint32(at + 22, 0, true);
    let crc = 0;
    for (let i = at; i < end; i++) crc = CRC32.next(crc, result[i]!);
    view.setUint32(at + 22, crc, true);
    at = end;
  }
  return result;
}

/** FLAC frames, RFC 9639 section 9: the CRC-8 behind the header, the CRC-16 before the next frame's sync code. */
export function resealFlac(bytes: Uint8Array): Uint8Array {
  const result = bytes.slice();
  const starts: { at: number; headerBytes: number }[] = [];
  for (let at = 4; at + 6 < result.length; at++) {
    if (result[at] !== 0xff || (result[at + 1]! & 0xfe) !== 0xf8) continue;
    const headerBytes = headerLength(result, at);
    if (headerBytes === null || at + headerBytes >= result.length) continue;
    starts.push({ at, headerBytes });
    at += headerBytes;
  }
  starts.forEach(({ at, headerBytes }, i) => {
    let crc = 0;
    for (let k = at; k < at + headerBytes; k++) crc = CRC8.next(crc, result[k]!);
    result[at + headerBytes] = crc;
    const end = starts[i + 1]?.at ?? result.length;
    if (end - at < headerBytes + 4) return;
    crc = 0;
    for (let k = at; k < end - 2; k++) crc = CRC16.next(crc, result[k]!);
    result[end - 2] = crc >> 8;
    result[end - 1] = crc & 0xff;
  });
  return result;
}

/** Bytes of a frame's header before its CRC-8; null where no header can be. */
function headerLength(bytes: Uint8Array, at: number): number | null {
  const block = bytes[at + 2]! >> 4;
  const rate = bytes[at + 2]! & 15;
  const lead = bytes[at + 4]!;
  if (block === 0 || rate === 15) return null;
  const number = lead < 0x80 ? 1 : Math.clz32(~(lead << 24));
  if (number > 7 || (lead >= 0x80 && number < 2)) return null;
  const blockBytes = block === 6 ? 1 : block === 7 ? 2 : 0;
  const rateBytes = rate === 12 ? 1 : rate === 13 || rate === 14 ? 2 : 0;
  return 4 + number + blockBytes + rateBytes;
}
