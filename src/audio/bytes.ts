/** True where the ASCII `text` stands at `offset`. */
export function hasText(bytes: Uint8Array, offset: number, text: string): boolean {
  if (offset < 0 || offset + text.length > bytes.length) return false;
  for (let i = 0; i < text.length; i++) {
    if (bytes[offset + i] !== text.charCodeAt(i)) return false;
  }
  return true;
}

/** A view over exactly these bytes, which may themselves be part of a larger buffer. */
export function viewOf(bytes: Uint8Array): DataView {
  return new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
}

/** "1.25 s" of that many samples. */
export function secondsText(samples: number, sampleRateHz: number): string {
  return `${(samples / sampleRateHz).toFixed(2)} s`;
}
