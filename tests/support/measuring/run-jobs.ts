import { execFile } from "node:child_process";

/** A result holds a few hundred kilobytes of curves. */
const MOST_OUTPUT_BYTES = 2 ** 28;

/**
 * Runs a script once for each list of arguments, each in a process of its own, so that time and peak memory are told apart.
 *
 * @param script a bundled module that prints one JSON
 * @param workers processes at once
 * @returns what each printed, in the order of the lists
 */
export async function runJobs<T>(script: string, argLists: string[][], workers: number): Promise<T[]> {
  const results: T[] = new Array(argLists.length);
  let next = 0;
  let done = 0;
  const tell = (text: string) => process.stderr.isTTY && process.stderr.write(`\r${text}\u001b[K`);
  const work = async () => {
    while (next < argLists.length) {
      const at = next++;
      results[at] = await runJob<T>(script, argLists[at]);
      tell(`${++done} of ${argLists.length}: ${argLists[at].join(" ")}`);
    }
  };
  await Promise.all(Array.from({ length: Math.max(1, Math.min(workers, argLists.length)) }, work));
  tell("");
  return results;
}

function runJob<T>(script: string, args: string[]): Promise<T> {
  return new Promise((resolve, reject) => {
    execFile(
      process.execPath,
      [script, ...args],
      { maxBuffer: MOST_OUTPUT_BYTES, encoding: "utf8" },
      (error, stdout, stderr) => {
        if (error)
          reject(new Error(`${args.join(" ")}: the process that measured it ended: ${stderr.slice(0, 500)}`));
        else resolve(JSON.parse(stdout));
      },
    );
  });
}
