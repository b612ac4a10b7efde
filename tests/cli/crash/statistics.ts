import { parseArgs } from "node:util";
import { makeRandom } from "../../support/synthetic/random.ts";
import { killRuns } from "./kill.ts";
import { preparedFolder, removeFolder, SCENARIOS } from "./scenarios.ts";

const USUAL_RUNS = 100;

/** The long form of the kill test: a table of what was done when the kill came. Throws at the first torn file. */
export async function main(argv: string[], bin: string): Promise<void> {
  const { values } = parseArgs({
    args: argv,
    options: {
      seed: { type: "string", default: "1" },
      runs: { type: "string", default: String(USUAL_RUNS) },
    },
  });
  console.log(`seed ${values.seed}`);
  console.log(
    "| command | runs | ended before the kill | nothing written | in the middle of writing | some or all new |",
  );
  console.log("| --- | --- | --- | --- | --- | --- |");
  for (const scenario of SCENARIOS) {
    const { folder, tookMs } = preparedFolder(bin, scenario);
    const random = makeRandom(Number(values.seed));
    const { runs, tooLate, before, during, after } = await killRuns(
      bin,
      scenario,
      folder,
      tookMs,
      Number(values.runs),
      random,
    );
    console.log(`| ${[scenario.name, runs, tooLate, before, during, after].join(" | ")} |`);
    removeFolder(folder);
  }
  console.log("every file was the old one or a whole new one");
}
