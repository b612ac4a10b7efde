import type { ByteSource } from "../audio/index.ts";

const OPENING_BRACE = 0x7b;
/** White space, and the bytes of a byte order mark. */
const BLANKS = new Set([0x20, 0x09, 0x0a, 0x0d, 0xef, 0xbb, 0xbf]);
const HEAD_BYTES = 64;

/** Whether a file is JSON, as a saved measurement is: it begins with a brace, after blanks; no audio does. */
export function isSaved(source: ByteSource): boolean {
  return source.readAt(0, HEAD_BYTES).find((byte) => !BLANKS.has(byte)) === OPENING_BRACE;
}
