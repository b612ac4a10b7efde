import { fork } from "node:child_process";
import { readFileSync, writeFileSync } from "node:fs";
import type { Failure, Progress, Work } from "./worker.ts";

/**
 * A case that has not ended by then hangs: sixty times what the slowest target may take of the processor, so that a
 * machine busy with other work is not taken for a hang, and every case that takes too much is told by its own process.
 */
const HANG_MS = 120_000;
/** Of the heap, in MiB; the decoders' memory lies beside it. A case that needs more ends the process, which is seen. */
const HEAP_MB = 1024;

/** Runs a stretch of cases in child processes: where one hangs or dies, the case is noted and the next goes on behind it. */
export async function runPart(work: Work, worker: string, take: (step: Progress) => void): Promise<void> {
  let from = work.from;
  while (from < work.to) {
    const end = await runChild({ ...work, from }, worker, take);
    if (end.failure === null) return;
    take({ done: end.failure.index + 1, accepted: 0, refused: 0, cpuS: 0, failures: [end.failure] });
    from = end.failure.index + 1;
  }
}

function runChild(
  work: Work,
  worker: string,
  take: (step: Progress) => void,
): Promise<{ failure: Failure | null }> {
  return new Promise((resolve, reject) => {
    // What the child before left there is no case of this one's.
    writeFileSync(work.markFile, "");
    const child = fork(worker, [], { execArgv: [`--max-old-space-size=${HEAP_MB}`, "--enable-source-maps"] });
    let hung = false;
    let seen = "";
    let seenMs = Date.now();
    const watch = setInterval(() => {
      const mark = readMark(work.markFile);
      if (mark !== seen) {
        seen = mark;
        seenMs = Date.now();
      } else if (mark !== "" && Date.now() - seenMs > HANG_MS) {
        hung = true;
        child.kill("SIGKILL");
      }
    }, 1000);
    child.on("message", (progress: Progress) => {
      take(progress);
    });
    child.on("exit", (code, signal) => {
      clearInterval(watch);
      if (code === 0) return resolve({ failure: null });
      const mark = readMark(work.markFile).trim();
      if (mark === "") return reject(new Error(`no case was begun: ${signal ?? `status ${code}`}`));
      const why = hung
        ? `no end after ${HANG_MS / 1000} s`
        : `the process died (${signal ?? `status ${code}`}), perhaps for want of memory`;
      // What was counted between the last message and the end is lost; the counts are of cases told.
      resolve({ failure: { target: work.target, index: Number(mark), why, input: null } });
    });
    child.send(work);
  });
}

function readMark(path: string): string {
  try {
    return readFileSync(path, "latin1");
  } catch {
    return "";
  }
}
