import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { parseArgs } from "node:util";
import { encodeWav16 } from "../../src/audio/index.ts";
import { runJobs } from "../support/measuring/run-jobs.ts";
import { KINDS, recordCast } from "../support/sheds/kinds.ts";
import type { ShedResult } from "./job.ts";
import { comparedTable, findingTable, shedTable } from "./table.ts";

const USAGE =
  "usage: sheds [--only KIND,...] [--seeds COUNT] [--seed FIRST] [--workers N] [--list] [--json FILE] [--compare OLD.json] [--write FOLDER]";

/** Measures computed recordings of castings, each in a process of its own, and prints how right it is. */
export async function main(argv: string[], job: string): Promise<number> {
  const { values } = parseArgs({
    args: argv,
    options: {
      only: { type: "string" },
      seeds: { type: "string", default: "16" },
      seed: { type: "string", default: "1" },
      workers: { type: "string", default: "2" },
      list: { type: "boolean", default: false },
      json: { type: "string" },
      compare: { type: "string" },
      write: { type: "string" },
    },
  });
  const only = values.only?.split(",");
  const [seeds, first, workers] = [values.seeds, values.seed, values.workers].map(Number);
  const isUnknown = only?.some((kind) => KINDS.every((known) => known.kind !== kind));
  if (isUnknown || !(seeds >= 1) || !Number.isInteger(first) || !(workers >= 1)) {
    console.error(`${USAGE}\nkinds: ${KINDS.map(({ kind }) => kind).join(", ")}`);
    return 2;
  }
  // The seeds of a kind are shared out to its places in turn.
  const jobs = KINDS.filter(({ kind }) => only === undefined || only.includes(kind)).flatMap(
    ({ kind, places }) =>
      places.flatMap((place, p) =>
        Array.from({ length: Math.ceil((seeds - p) / places.length) }, (_, k) => [
          kind,
          place,
          `${first + k * places.length + p}`,
        ]),
      ),
  );
  if (values.write !== undefined) {
    mkdirSync(values.write, { recursive: true });
    for (const [kind, place, seed] of jobs) {
      const { sampleRateHz, channel, truth } = recordCast(kind, place, Number(seed));
      const stem = join(values.write, `${kind}-${place}-${seed}`);
      writeFileSync(`${stem}.wav`, encodeWav16([channel], sampleRateHz));
      writeFileSync(`${stem}.json`, `${JSON.stringify(truth, null, 1)}\n`);
    }
    return 0;
  }
  const results = await runJobs<ShedResult>(job, jobs, workers);
  if (values.list) for (const result of results) console.log(describe(result));
  console.log(
    values.compare === undefined
      ? shedTable(results)
      : comparedTable(JSON.parse(readFileSync(values.compare, "utf8")), results),
  );
  console.log(`\n${findingTable(results)}`);
  if (values.json !== undefined) writeFileSync(values.json, `${JSON.stringify(results, null, 1)}\n`);
  return 0;
}

/** One line, for those who work on the program. */
function describe(r: ShedResult): string {
  const hz = (x: number | null) => (x === null ? "none" : x.toFixed(1));
  const missed = r.missed.map((l) => `${hz(l.hz)} Hz ${l.levelDb.toFixed(0)} dB ${l.t60S.toFixed(1)} s`);
  const names = r.names
    .filter((n) => n.verdict !== "right")
    .map((n) => `${n.name} ${n.verdict}${n.verdict === "wrong" ? ` ${hz(n.saidHz)} is ${hz(n.isHz)}` : ""}`);
  return [
    `${r.kind} ${r.place} ${r.seed}: ${r.refused ?? `${r.listed} listed`}`,
    `missed ${r.missed.length}/${r.mustSee} (${missed.join("; ")})`,
    `ghosts ${r.ghosts.map(hz).join(" ") || "none"}`,
    `sidebands ${r.sidebands.length}`,
    `names ${names.join(", ") || "right"}`,
    `note ${r.note.right ? "right" : `${hz(r.note.saidHz)} is ${hz(r.note.isHz)}`}`,
    `${r.attention.map((f) => f.title).join(" | ")}`,
  ].join(", ");
}
