import { createHash } from "node:crypto";
import type { ByteSource } from "../audio/index.ts";

/** Read at once while a file is compared with others. */
const BLOCK_BYTES = 1 << 20;

/**
 * Finds byte-for-byte copies among files: the same strike twice would make the intervals narrower than they are. Only
 * files of one size are read for it.
 */
export class Twins {
  private readonly bySize = new Map<number, { path: string; source: ByteSource; digest: string | null }[]>();

  /** The path of an earlier file with the same bytes; remembers this one otherwise. An empty file has no twin. */
  twinOf(path: string, source: ByteSource): string | undefined {
    if (source.byteLength === 0) return undefined;
    const alike = this.bySize.get(source.byteLength) ?? [];
    if (alike.length > 0) {
      const digest = digestOf(source);
      for (const each of alike) {
        each.digest ??= digestOf(each.source);
        if (each.digest === digest) return each.path;
      }
      alike.push({ path, source, digest });
    } else this.bySize.set(source.byteLength, [{ path, source, digest: null }]);
    return undefined;
  }
}

function digestOf(source: ByteSource): string {
  const hash = createHash("sha256");
  for (let at = 0; at < source.byteLength; at += BLOCK_BYTES) hash.update(source.readAt(at, BLOCK_BYTES));
  return hash.digest("base64");
}
