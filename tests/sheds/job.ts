import { silenceLibraries } from "../../src/cli/io.ts";
import { type CastVerdict, measureCast } from "../support/sheds/judge.ts";
import { recordCast } from "../support/sheds/kinds.ts";

export interface ShedResult extends CastVerdict {
  /** Of measuring alone. */
  cpuS: number;
  /** Of the whole process. */
  peakMiB: number;
}

/** Arguments: kind, place, seed. Makes the recording, measures it, and prints a `ShedResult` as JSON. */
function runOne([kind, place, seed]: string[]): ShedResult {
  const recorded = recordCast(kind, place, Number(seed));
  const before = process.cpuUsage();
  const verdict = measureCast(recorded, Number(seed));
  const { user, system } = process.cpuUsage(before);
  return { ...verdict, cpuS: (user + system) / 1e6, peakMiB: process.resourceUsage().maxRSS / 1024 };
}

silenceLibraries({});
process.stdout.write(JSON.stringify(runOne(process.argv.slice(2))));
