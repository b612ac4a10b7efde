import type { ByteSource } from "./byte-source.ts";
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
export function findWavChunks(source: ByteSource): WavChunks {
  const chunks = walkChunks(source);
  if (chunks.fmt !== null && chunks.data !== null) return chunks;
  const fmt = chunks.fmt ?? searchChunk(source, "fmt ");
  const data = chunks.data ?? (fmt === null ? null : searchChunk(source, "data", fmt.start + FORMAT_BYTES));
  const promisedDataBytes =
    chunks.data === null && data !== null ? data.end - data.start : chunks.promisedDataBytes;
  return { fmt, data, promisedDataBytes, searched: true };
}

function walkChunks(source: ByteSource): WavChunks {
  const chunks: WavChunks = { fmt: null, data: null, promisedDataBytes: null, searched: false };
  let longDataBytes: number | null = null;
  let offset = FIRST_CHUNK;
  while (chunks.fmt === null || chunks.data === null) {
    const head = chunkAt(source, offset);
    if (head === null) break;
    let { size } = head;
    const start = offset + CHUNK_HEADER;
    if (head.name === "ds64" && start + 16 <= source.byteLength) {
      // riffSize and dataSize, 64 bits each
      const sizes = viewOf(source.readAt(start, 16));
      longDataBytes = sizes.getUint32(8, true) + sizes.getUint32(12, true) * 2 ** 32;
    } else if (head.name === "fmt " && chunks.fmt === null) {
      chunks.fmt = { start, end: Math.min(start + Math.max(size, FORMAT_BYTES), source.byteLength) };
    } else if (head.name === "data" && chunks.data === null) {
      if (size === 0xffffffff && longDataBytes !== null) size = longDataBytes;
      const isStream = (size === 0 && !isWholeChunk(source, start)) || start + size > source.byteLength;
      const end = isStream ? source.byteLength : start + size;
      chunks.data = { start, end };
      const isUnknown = isStream && (size === 0 || (size >= UNKNOWN_LENGTH && size <= 0xffffffff));
      chunks.promisedDataBytes = isUnknown ? null : size;
      if (isStream) break;
    }
    offset = nextChunk(source, start + size);
  }
  return chunks;
}

/** A chunk of odd length is padded by one byte, which some programs forget. */
function nextChunk(source: ByteSource, end: number): number {
  if (end % 2 === 0) return end;
  return chunkAt(source, end) !== null && chunkAt(source, end + 1) === null ? end : end + 1;
}

/** Name and size of the chunk there: four printable characters with room for a size behind them; else null. */
function chunkAt(source: ByteSource, offset: number): { name: string; size: number } | null {
  if (offset + CHUNK_HEADER > source.byteLength) return null;
  const head = source.readAt(offset, CHUNK_HEADER);
  for (let i = 0; i < 4; i++) if (head[i] < 0x20 || head[i] > 0x7e) return null;
  return {
    name: String.fromCharCode(head[0], head[1], head[2], head[3]),
    size: viewOf(head).getUint32(4, true),
  };
}

function isWholeChunk(source: ByteSource, offset: number): boolean {
  if (offset === source.byteLength) return true;
  const head = chunkAt(source, offset);
  return head !== null && offset + CHUNK_HEADER + head.size <= source.byteLength;
}

const SEARCH_BYTES = 1 << 16;

/** The first chunk of that name from `from` on, wherever it stands. */
function searchChunk(source: ByteSource, name: string, from = FIRST_CHUNK): Span | null {
  for (let at = from; at + CHUNK_HEADER <= source.byteLength; at += SEARCH_BYTES) {
    // The blocks overlap, so that a header is whole in one of them.
    const block = source.readAt(at, SEARCH_BYTES + CHUNK_HEADER - 1);
    for (let i = 0; i + CHUNK_HEADER <= block.length; i++) {
      if (!hasText(block, i, name)) continue;
      const start = at + i + CHUNK_HEADER;
      const size = viewOf(block).getUint32(i + 4, true);
      const end = size === 0 ? source.byteLength : Math.min(start + size, source.byteLength);
      return { start, end };
    }
  }
  return null;
}
