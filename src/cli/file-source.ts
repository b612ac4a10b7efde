import { closeSync, fstatSync, openSync, readSync, type Stats } from "node:fs";
import type { ByteSource } from "../audio/index.ts";
import { CliError } from "./exit.ts";
import { unreadable } from "./unreadable.ts";

/** Small reads, of headers, are answered from as much read at once. */
const READ_AHEAD_BYTES = 1 << 16;

/**
 * A file on disk as a source of bytes, of any size. It is opened for each read, so that nothing is left open and a
 * thread can do the same; that it is still the same file, as long as it was, is checked each time.
 *
 * @param path as the user wrote it, for messages
 * @throws CliError from `readAt` too: where the file cannot be read any more, or has changed meanwhile
 */
export function fileSource(fullPath: string, path: string): ByteSource {
  const first = withFile(fullPath, path, (fd) => fstatSync(fd));
  let ahead: Uint8Array = new Uint8Array(0);
  let aheadAt = 0;
  const read = (offset: number, length: number): Uint8Array => {
    const wanted = Math.max(0, Math.min(length, first.size - offset));
    return withFile(fullPath, path, (fd) => {
      if (!isSame(first, fstatSync(fd))) {
        throw new CliError(`${path}: changed while it was read; wait until it is written and try again`);
      }
      const bytes = new Uint8Array(wanted);
      for (let done = 0; done < wanted; ) {
        const got = readSync(fd, bytes, done, wanted - done, offset + done);
        if (got === 0) return bytes.subarray(0, done);
        done += got;
      }
      return bytes;
    });
  };
  return {
    byteLength: first.size,
    readAt(offset, length) {
      if (length >= READ_AHEAD_BYTES) return read(offset, length);
      if (offset < aheadAt || offset + length > aheadAt + ahead.length) {
        ahead = read(offset, READ_AHEAD_BYTES);
        aheadAt = offset;
      }
      return ahead.subarray(offset - aheadAt, offset - aheadAt + length);
    },
  };
}

function withFile<T>(fullPath: string, path: string, use: (fd: number) => T): T {
  let fd: number;
  try {
    fd = openSync(fullPath, "r");
  } catch (error) {
    throw unreadable(path, error as NodeJS.ErrnoException);
  }
  try {
    return use(fd);
  } catch (error) {
    throw error instanceof CliError ? error : unreadable(path, error as NodeJS.ErrnoException);
  } finally {
    closeSync(fd);
  }
}

function isSame(a: Stats, b: Stats): boolean {
  return a.ino === b.ino && a.size === b.size && a.mtimeMs === b.mtimeMs;
}
