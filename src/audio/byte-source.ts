/**
 * The bytes of a file, read where they are wanted, so that a long recording need not be in memory. Reading is
 * synchronous: in a browser a worker reads a file so (FileReaderSync), and bytes at hand are a source too.
 */
export interface ByteSource {
  byteLength: number;
  /**
   * The bytes [offset, offset + length), fewer only where the source ends before; a view that may change with the
   * next call.
   */
  readAt(offset: number, length: number): Uint8Array;
}

/** Bytes that are in memory already. */
export function sourceOfBytes(bytes: Uint8Array): ByteSource {
  return {
    byteLength: bytes.length,
    readAt: (offset, length) => bytes.subarray(offset, offset + length),
  };
}
