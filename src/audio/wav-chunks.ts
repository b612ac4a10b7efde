import { hasText, viewOf } from "./bytes.ts";

/** A stretch of the file, [start, end). */
export interface Span {
  start: number;
  end: number;
}

export interface WavChunks {
  fmt: Span | null;
  data: Span | null;
  /** What the header says of the data's length in bytes; null where it says it does not know. */
  promisedDataBytes: number | null;
  /** True where the chunks did not follow one another and had to be searched for. */
  searched: boolean;
}

const FIRST_CHUNK = 12;
const CHUNK_HEADER = 8;
/** The least a format chunk holds. */
const FORMAT_BYTES = 16;

/** Programs that write to a pipe leave a length of this or more, up to 0xFFFFFFFF. */
const UNKNOWN_LENGTH = 0x7ffff000;

/**
 * Finds the format and the data of a RIFF, RF64 or BW64 file (EBU Tech 3306, ITU-R BS.2088). Sizes are only taken
 * as hints: every span lies inside the file, and where following the sizes leads astray the chunks are searched for
 * by their names.
 */
export function findWavChunks(bytes: Uint8Array): WavChunks {
  const chunks = walkChunks(bytes);
  if (chunks.fmt !== null && chunks.data !== null) return chunks;
  const fmt = chunks.fmt ?? searchChunk(bytes, "fmt ");
  const data = chunks.data ?? (fmt === null ? null : searchChunk(bytes, "data", fmt.start + FORMAT_BYTES));
  const promisedDataBytes =
    chunks.data === null && data !== null ? data.end - data.start : chunks.promisedDataBytes;
  return { fmt, data, promisedDataBytes, searched: true };
}

function walkChunks(bytes: Uint8Array): WavChunks {
  const view = viewOf(bytes);
  const chunks: WavChunks = { fmt: null, data: null, promisedDataBytes: null, searched: false };
  let longDataBytes: number | null = null;
  let offset = FIRST_CHUNK;
  while (isChunkName(bytes, offset) && (chunks.fmt === null || chunks.data === null)) {
    let size = view.getUint32(offset + 4, true);
    const start = offset + CHUNK_HEADER;
    if (hasText(bytes, offset, "ds64") && start + 16 <= bytes.length) {
      // riffSize and dataSize, 64 bits each
      longDataBytes = view.getUint32(start + 8, true) + view.getUint32(start + 12, true) * 2 ** 32;
    } else if (hasText(bytes, offset, "fmt ") && chunks.fmt === null) {
      chunks.fmt = { start, end: Math.min(start + Math.max(size, FORMAT_BYTES), bytes.length) };
    } else if (hasText(bytes, offset, "data") && chunks.data === null) {
      if (size === 0xffffffff && longDataBytes !== null) size = longDataBytes;
      const isStream = (size === 0 && !isWholeChunk(bytes, start)) || start + size > bytes.length;
      const end = isStream ? bytes.length : start + size;
      chunks.data = { start, end };
      const isUnknown = isStream && (size === 0 || (size >= UNKNOWN_LENGTH && size <= 0xffffffff));
      chunks.promisedDataBytes = isUnknown ? null : size;
      if (isStream) break;
    }
    offset = nextChunk(bytes, start + size);
  }
  return chunks;
}

/** A chunk of odd length is padded by one byte, which some programs forget. */
function nextChunk(bytes: Uint8Array, end: number): number {
  if (end % 2 === 0) return end;
  return isChunkName(bytes, end) && !isChunkName(bytes, end + 1) ? end : end + 1;
}

/** Four printable characters with room for a size behind them. */
function isChunkName(bytes: Uint8Array, offset: number): boolean {
  if (offset + CHUNK_HEADER > bytes.length) return false;
  for (let i = offset; i < offset + 4; i++) {
    if (bytes[i] < 0x20 || bytes[i] > 0x7e) return false;
  }
  return true;
}

function isWholeChunk(bytes: Uint8Array, offset: number): boolean {
  if (offset === bytes.length) return true;
  if (!isChunkName(bytes, offset)) return false;
  return offset + CHUNK_HEADER + viewOf(bytes).getUint32(offset + 4, true) <= bytes.length;
}

/** The first chunk of that name from `from` on, wherever it stands. */
function searchChunk(bytes: Uint8Array, name: string, from = FIRST_CHUNK): Span | null {
  const view = viewOf(bytes);
  for (let offset = from; offset + CHUNK_HEADER <= bytes.length; offset++) {
    if (!hasText(bytes, offset, name)) continue;
    const start = offset + CHUNK_HEADER;
    const size = view.getUint32(offset + 4, true);
    const end = size === 0 ? bytes.length : Math.min(start + size, bytes.length);
    return { start, end };
  }
  return null;
}
