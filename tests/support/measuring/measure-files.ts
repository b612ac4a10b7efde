import { execFile } from "node:child_process";
import type { MeasuredFile } from "./job.ts";

/** A result holds a few hundred kilobytes of curves. */
const MOST_OUTPUT_BYTES = 2 ** 28;

/**
 * Measures files, each in a process of its own, so that its CPU time and peak memory are told apart.
 *
 * @param script the bundled job.ts
 * @param workers processes at once
 * @param onDone called as each is done
 * @returns in the order of the paths
 */
export async function measureFiles(
  script: string,
  paths: string[],
  workers: number,
  onDone: (path: string, done: number) => void,
): Promise<MeasuredFile[]> {
  const results: MeasuredFile[] = new Array(paths.length);
  let next = 0;
  let done = 0;
  const work = async () => {
    while (next < paths.length) {
      const at = next++;
      results[at] = await measureOne(script, paths[at]);
      onDone(paths[at], ++done);
    }
  };
  await Promise.all(Array.from({ length: Math.max(1, Math.min(workers, paths.length)) }, work));
  return results;
}

function measureOne(script: string, path: string): Promise<MeasuredFile> {
  return new Promise((resolve, reject) => {
    execFile(
      process.execPath,
      [script, path],
      { maxBuffer: MOST_OUTPUT_BYTES, encoding: "utf8" },
      (error, stdout, stderr) => {
        if (error) reject(new Error(`${path}: the process that measured it ended: ${stderr.slice(0, 500)}`));
        else resolve(JSON.parse(stdout));
      },
    );
  });
}
