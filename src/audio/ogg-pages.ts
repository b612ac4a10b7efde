import { hasText, viewOf } from "./bytes.ts";
import { createCrc } from "./crc.ts";

export interface OggStream {
  /** The unbroken run of the first stream's pages, each proved by its check sum. */
  pages: Uint8Array[];
  /** What the first page carries: the codec's identification header. */
  identification: Uint8Array;
  /** Position at the end of the last page that gives one, in the codec's samples; null where none does. */
  endPosition: number | null;
  /** True where the run ends before the page that is marked as the last. */
  broken: boolean;
}

const CRC32 = createCrc(32, 0x04c11db7);
const HEADER_BYTES = 27;

/** Ogg's framing (RFC 3533 section 6). Null where not even the first page is whole. */
export function readOggStream(bytes: Uint8Array): OggStream | null {
  const view = viewOf(bytes);
  const pages: Uint8Array[] = [];
  let identification = new Uint8Array(0);
  let serial = 0;
  let endPosition: number | null = null;
  let offset = 0;
  for (;;) {
    const end = findPageEnd(bytes, offset);
    if (end === null) break;
    const page = bytes.subarray(offset, end);
    const pageSerial = view.getUint32(offset + 14, true);
    if (pages.length === 0) {
      serial = pageSerial;
      identification = page.slice(HEADER_BYTES + page[26]);
    }
    if (pageSerial === serial) {
      const sequence = view.getUint32(offset + 18, true);
      if (sequence !== pages.length) break;
      pages.push(page);
      const position = view.getBigInt64(offset + 6, true);
      if (position >= 0n) endPosition = Number(position);
      const isLast = (bytes[offset + 5] & 0x04) !== 0;
      if (isLast) return { pages, identification, endPosition, broken: false };
    }
    offset = end;
  }
  return pages.length === 0 ? null : { pages, identification, endPosition, broken: true };
}

/** End of the page that begins at `offset`, or null where none does or its check sum is wrong. */
function findPageEnd(bytes: Uint8Array, offset: number): number | null {
  if (!hasText(bytes, offset, "OggS") || offset + HEADER_BYTES > bytes.length) return null;
  const segments = bytes[offset + 26];
  let end = offset + HEADER_BYTES + segments;
  if (end > bytes.length) return null;
  for (let i = offset + HEADER_BYTES; i < offset + HEADER_BYTES + segments; i++) end += bytes[i];
  if (end > bytes.length) return null;
  let crc = 0;
  for (let i = offset; i < end; i++) {
    // The sum is taken with its own field at 0
    const isField = i >= offset + 22 && i < offset + 26;
    crc = CRC32.next(crc, isField ? 0 : bytes[i]);
  }
  return crc === viewOf(bytes).getUint32(offset + 22, true) ? end : null;
}
