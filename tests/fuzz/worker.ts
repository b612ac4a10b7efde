import { closeSync, openSync, writeSync } from "node:fs";
import { toPlain } from "./plain.ts";
import { runCase } from "./run-case.ts";
import { TARGETS } from "./targets/index.ts";

/** What the parent asks for: cases [from, to) of a target. */
export interface Work {
  target: string;
  seed: number;
  from: number;
  to: number;
  /** The number of the case at work is written here, for a parent that finds this process hung or dead. */
  markFile: string;
}

export interface Failure {
  target: string;
  index: number;
  why: string;
  /** As plain JSON; null where the process died of the case. */
  input: unknown;
}

export interface Progress {
  /** Cases up to this one are done. */
  done: number;
  accepted: number;
  refused: number;
  /** Processor time of these cases. */
  cpuS: number;
  failures: Failure[];
}

const MARK_BYTES = 16;
const REPORT_MS = 500;

process.on("message", (work: Work) => {
  run(work).then(
    () => process.exit(0),
    (error) => {
      console.error(error);
      process.exit(1);
    },
  );
});

async function run({ target: name, seed, from, to, markFile }: Work): Promise<void> {
  const target = TARGETS.find((each) => each.name === name)!;
  const mark = openSync(markFile, "w");
  let progress: Progress = { done: from, accepted: 0, refused: 0, cpuS: 0, failures: [] };
  let reported = Date.now();
  let cpu = process.cpuUsage();
  for (let index = from; index < to; index++) {
    writeSync(mark, String(index).padEnd(MARK_BYTES), 0);
    const { outcome, input, why } = await runCase(target, seed, index);
    if (outcome === "failed") {
      progress.failures.push({ target: name, index, why: why ?? "", input: toPlain(input) });
    } else progress[outcome]++;
    progress.done = index + 1;
    if (Date.now() - reported > REPORT_MS || index + 1 === to || outcome === "failed") {
      const { user, system } = process.cpuUsage(cpu);
      cpu = process.cpuUsage();
      await tell({ ...progress, cpuS: (user + system) / 1e6 });
      progress = { done: progress.done, accepted: 0, refused: 0, cpuS: 0, failures: [] };
      reported = Date.now();
    }
  }
  closeSync(mark);
}

function tell(progress: Progress): Promise<void> {
  return new Promise((resolve, reject) => {
    process.send!(progress, (error: Error | null) => (error ? reject(error) : resolve()));
  });
}
