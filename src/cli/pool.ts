import { existsSync } from "node:fs";
import { stat } from "node:fs/promises";
import { availableParallelism } from "node:os";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import type { Tinypool } from "tinypool";

/**
 * Recordings that are worth other threads: each takes about a second to start, and so does measuring a megabyte of WAV
 * (measured on two cores that were busy with other work).
 */
const LEAST_BYTES = 4e6;

/** The file that threads run lies beside the built program; in the source tree there is none. */
export function workerFile(name: "series-worker" | "tap-worker"): string | null {
  const path = join(dirname(fileURLToPath(import.meta.url)), `${name}.mjs`);
  return existsSync(path) ? path : null;
}

/** A thread a core, or one where there is too little to do. */
export async function usefulThreads(paths: string[], cwd: string): Promise<number> {
  let bytes = 0;
  for (const path of paths) {
    bytes += await stat(resolve(cwd, path)).then(
      ({ size }) => size,
      () => 0,
    );
  }
  return bytes < LEAST_BYTES ? 1 : availableParallelism();
}

/** So many threads at work on a file; the library is loaded with the first of them. `destroy` ends them. */
export async function startPool(filename: string, threads: number): Promise<Tinypool> {
  const { Tinypool } = await import("tinypool");
  return new Tinypool({ filename, minThreads: threads, maxThreads: threads });
}
