import { cpus, totalmem } from "node:os";
import { parseArgs } from "node:util";
import { baselineTable } from "./baseline-table.ts";
import { codedBells } from "./coded.ts";
import type { Estimator } from "./estimator.ts";
import { runTrial } from "./evaluate.ts";
import { writeGuideRecordings } from "./guide-wav.ts";
import { DISTURBED_KINDS, disturbedTable, idealKindsTable, trialsOf } from "./kinds-table.ts";
import { METHODS } from "./methods.ts";
import { processTable } from "./processes.ts";
import { recordingTables } from "./recording-table.ts";
import { resolutionTable } from "./resolution-table.ts";
import { sharesTable } from "./shares-table.ts";
import { measureSpeed, speedTable } from "./speed-table.ts";
import { stereoTable } from "./stereo-table.ts";
import { sweepTable } from "./sweep-table.ts";

const TABLES = [
  "kinds",
  "disturbed",
  "sweep",
  "resolution",
  "stereo",
  "recording",
  "baseline",
  "speed",
  "processes",
  "shares",
] as const;
type TableName = (typeof TABLES)[number];

/** How much is run: the quick way ends within a minute, the full one takes as long as it takes. */
interface Effort {
  bells: number;
  sweepBells: number;
  resolutionBells: number;
  snrsDb: number[];
  ratios: number[];
  recordingBells: number;
  baselineBells: number;
  speedCases: [number, number][];
  processRuns: number;
}

const QUICK: Effort = {
  bells: 6,
  sweepBells: 1,
  resolutionBells: 2,
  snrsDb: [40, 60],
  ratios: [1],
  recordingBells: 1,
  baselineBells: 3,
  speedCases: [[10, 48000]],
  processRuns: 3,
};

const FULL: Effort = {
  bells: 200,
  sweepBells: 50,
  resolutionBells: 50,
  snrsDb: [30, 40, 50, 60],
  ratios: [1, 0.3, 0.1],
  recordingBells: 5,
  baselineBells: 20,
  speedCases: [
    [2, 48000],
    [10, 48000],
    [60, 48000],
    [600, 48000],
    [2, 192000],
    [10, 192000],
    [60, 192000],
    [600, 192000],
  ],
  processRuns: 10,
};

async function run(
  table: TableName,
  method: Estimator,
  effort: Effort,
  script: string,
  root: string,
): Promise<string> {
  switch (table) {
    case "kinds":
      return `RMSE over the Cramér-Rao bound joint over all modes; ${effort.bells} bells of a kind\n\n${idealKindsTable(method, effort.bells)}`;
    case "disturbed": {
      const groups = DISTURBED_KINDS.map((kind) => ({
        name: kind as string,
        trials: trialsOf(method, kind, effort.bells),
      }));
      const coded = await codedBells(effort.bells);
      groups.push({ name: "128 kb/s", trials: coded.map((bell) => runTrial(method, bell)) });
      return `Partials slower than 15 /s, a linewidth or more from a neighbour\n\n${disturbedTable(method, groups)}`;
    }
    case "sweep":
      return `RMSE over the bound, one thing changed at a time\n${sweepTable(method, effort.sweepBells)}`;
    case "resolution":
      return resolutionTable(method, effort.resolutionBells, effort.snrsDb, effort.ratios);
    case "stereo":
      return stereoTable(method, effort.bells);
    case "recording":
      return recordingTables(effort.recordingBells);
    case "baseline":
      return baselineTable(method, effort.baselineBells);
    case "speed":
      return speedTable(script, method.name, effort.speedCases);
    case "processes":
      return processTable(root, effort.processRuns);
    case "shares":
      return sharesTable(root);
  }
}

/** Entry: `script` is the bundled file, `root` the folder of the project. */
export async function main(argv: string[], script: string, root: string): Promise<void> {
  const { values } = parseArgs({
    args: argv,
    options: {
      quick: { type: "boolean", default: false },
      only: { type: "string" },
      bells: { type: "string" },
      method: { type: "string", default: METHODS[0].name },
      case: { type: "string" },
      wav: { type: "string" },
    },
  });
  if (values.wav !== undefined) {
    writeGuideRecordings(values.wav);
    return;
  }
  const method = METHODS.find(({ name }) => name === values.method);
  if (method !== undefined && values.case !== undefined) {
    const [seconds, rate] = values.case.split(",").map(Number);
    console.log(JSON.stringify(measureSpeed(method, seconds, rate)));
    return;
  }
  const effort = { ...(values.quick ? QUICK : FULL) };
  if (values.bells !== undefined) effort.bells = Number(values.bells);
  const wanted = values.only?.split(",") ?? TABLES;
  const unknown = wanted.filter((name) => !TABLES.includes(name as TableName));
  if (method === undefined || unknown.length > 0 || !(effort.bells >= 1)) {
    console.error(
      `usage: bench [--quick] [--bells COUNT] [--only ${TABLES.join(",")}] [--method NAME] | --wav FOLDER`,
    );
    console.error(`methods: ${METHODS.map(({ name }) => name).join(", ")}`);
    process.exitCode = 2;
    return;
  }
  const [cpu] = cpus();
  console.log(
    `${cpu.model}, ${cpus().length} cores, ${Math.round(totalmem() / 2 ** 30)} GiB, node ${process.version}, ${process.platform} ${process.arch}; method: ${method.name}`,
  );
  for (const table of TABLES) {
    if (!wanted.includes(table)) continue;
    const began = performance.now();
    const text = await run(table, method, effort, script, root);
    console.log(`\n## ${table}\n${text}\n(${((performance.now() - began) / 1000).toFixed(1)} s)`);
  }
}
