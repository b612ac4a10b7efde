import { writeFileSync } from "node:fs";
import { parseArgs } from "node:util";
import type { MeasuredFile } from "../support/measuring/job.ts";
import { runJobs } from "../support/measuring/run-jobs.ts";
import { knownRecordings } from "./known-bells.ts";
import { scoreReal } from "./score.ts";
import { realTables, type ScoredRecording } from "./table.ts";

/**
 * Measures the recordings of a folder with a lines.json, each in a process of its own, and prints how right it is.
 *
 * @param job the bundled job.ts
 */
export async function main(argv: string[], job: string): Promise<number> {
  const { values, positionals } = parseArgs({
    args: argv,
    allowPositionals: true,
    options: {
      workers: { type: "string", default: "2" },
      only: { type: "string" },
      json: { type: "string" },
    },
  });
  const workers = Number(values.workers);
  if (!(workers >= 1)) {
    console.error("--workers needs a number of processes, 1 or more");
    return 2;
  }
  const recordings = knownRecordings(positionals[0], values.only?.split(","));
  if (typeof recordings === "string") {
    console.error(recordings);
    return 2;
  }
  const paths = recordings.map(({ path }) => [path]);
  const measured = await runJobs<MeasuredFile>(job, paths, workers);
  const all = recordings.map(({ name, known }, i): ScoredRecording => {
    const { measurement, refused, cpuS, wallS, peakMiB } = measured[i];
    return { name, refused, cpuS, wallS, peakMiB, ...scoreReal(known, measurement) };
  });
  console.log(realTables(all));
  if (values.json !== undefined) writeFileSync(values.json, `${JSON.stringify(all, null, 1)}\n`);
  return 0;
}
