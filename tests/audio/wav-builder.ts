/** Builds WAV files, right ones and wrong ones, byte by byte; shares nothing with the reader under test. */

export interface Chunk {
  id: string;
  body: Uint8Array;
  /** What the chunk claims for its length; its real length when left out. */
  claimedSize?: number;
  /** Leaves out the padding byte behind an odd body. */
  unpadded?: boolean;
}

export function riff(chunks: Chunk[], id = "RIFF"): Uint8Array {
  const parts = [text(id), u32(0), text("WAVE")];
  for (const { id: name, body, claimedSize, unpadded } of chunks) {
    parts.push(text(name), u32(claimedSize ?? body.length), body);
    if (body.length % 2 === 1 && !unpadded) parts.push(new Uint8Array(1));
  }
  return concat(parts);
}

export interface FormatFields {
  code?: number;
  channels?: number;
  rateHz?: number;
  byteRate?: number;
  blockBytes?: number;
  bits?: number;
}

export function fmtChunk(fields: FormatFields = {}): Chunk {
  const { code = 1, channels = 1, rateHz = 48000, bits = 16 } = fields;
  const blockBytes = fields.blockBytes ?? channels * Math.ceil(bits / 8);
  const byteRate = fields.byteRate ?? rateHz * blockBytes;
  const body = concat([u16(code), u16(channels), u32(rateHz), u32(byteRate), u16(blockBytes), u16(bits)]);
  return { id: "fmt ", body };
}

/** WAVE_FORMAT_EXTENSIBLE, its sub-format's GUID being `code` and the fixed tail of mmreg.h. */
export function extensibleChunk(fields: FormatFields & { validBits: number }): Chunk {
  const head = fmtChunk({ ...fields, code: 0xfffe }).body;
  const tail = [0, 0, 0, 0, 0x10, 0, 0x80, 0, 0, 0xaa, 0, 0x38, 0x9b, 0x71];
  const body = concat([
    head,
    u16(22),
    u16(fields.validBits),
    u32(0),
    u16(fields.code ?? 1),
    Uint8Array.from(tail),
  ]);
  return { id: "fmt ", body };
}

/** Signed codes, little end first; of one byte, unsigned about 128 as WAV has it. */
export function pcmBytes(codes: number[], bytesPerValue: number): Uint8Array {
  const body = new Uint8Array(codes.length * bytesPerValue);
  codes.forEach((code, i) => {
    const unsigned = bytesPerValue === 1 ? code + 128 : code < 0 ? code + 256 ** bytesPerValue : code;
    for (let k = 0; k < bytesPerValue; k++)
      body[i * bytesPerValue + k] = Math.floor(unsigned / 256 ** k) % 256;
  });
  return body;
}

export function floatBytes(values: number[], bytesPerValue: 4 | 8): Uint8Array {
  const typed = bytesPerValue === 4 ? Float32Array.from(values) : Float64Array.from(values);
  return new Uint8Array(typed.buffer);
}

export function data(body: Uint8Array, claimedSize?: number): Chunk {
  return claimedSize === undefined ? { id: "data", body } : { id: "data", body, claimedSize };
}

export function text(value: string): Uint8Array {
  return Uint8Array.from(value, (character) => character.charCodeAt(0));
}

export function u16(value: number): Uint8Array {
  return Uint8Array.of(value & 0xff, (value >>> 8) & 0xff);
}

export function u32(value: number): Uint8Array {
  return Uint8Array.of(value & 0xff, (value >>> 8) & 0xff, (value >>> 16) & 0xff, (value >>> 24) & 0xff);
}

export function concat(parts: Uint8Array[]): Uint8Array {
  const joined = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let offset = 0;
  for (const part of parts) {
    joined.set(part, offset);
    offset += part.length;
  }
  return joined;
}
