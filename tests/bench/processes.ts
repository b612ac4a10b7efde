import { spawnSync } from "node:child_process";
import { existsSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { encodeWav16 } from "../../src/audio/index.ts";
import { renderBell } from "../support/synthetic/index.ts";
import { decimals, markdownTable } from "./markdown.ts";
import { bellPlan } from "./speed-table.ts";
import { timingOf } from "./timing.ts";

export function commandRuns(command: string, args: string[]): boolean {
  return spawnSync(command, args, { stdio: "ignore" }).status === 0;
}

/** Whole processes on one file of 10 s, 48 kHz, mono, 16 bit, taken in turn; `root` is the folder of the project. */
export function processTable(root: string, runs: number): string {
  const folder = mkdtempSync(join(tmpdir(), "bell-"));
  const wav = join(folder, "bell.wav");
  const { channels, sampleRateHz } = renderBell(bellPlan(48000, 10), 1);
  writeFileSync(wav, encodeWav16(channels, sampleRateHz));
  const bench = join(root, "tests", "bench");
  const bin = join(root, "dist", "ringwright.mjs");
  const notes: string[] = [];
  const contenders = [
    { name: "node alone", command: process.execPath, args: ["-e", "0"] },
    { name: "read, one FFT (fft.js)", command: process.execPath, args: [join(bench, "one-fft.mjs"), wav] },
  ];
  if (existsSync(bin)) {
    const out = ["--json", join(folder, "bell.json"), "--html", join(folder, "bell.html"), "--force"];
    const args = [bin, "tap", wav, ...out];
    contenders.push({ name: "ringwright tap --json --html", command: process.execPath, args });
  } else notes.push("dist/ringwright.mjs is not built: its row is left out (npm run build)");
  if (commandRuns("python3", ["-c", "import numpy, scipy"])) {
    const args = [join(bench, "baseline.py"), wav];
    contenders.push({ name: "ordinary method, scipy", command: "python3", args });
  } else notes.push("no python3 with numpy and scipy: its row is left out");

  const times = contenders.map((): number[] => []);
  // One unmeasured round fills the file caches; then in turn, so that a slow minute of the machine hits all.
  for (let round = -1; round < runs; round++) {
    contenders.forEach(({ name, command, args }, i) => {
      const began = performance.now();
      const { status, stderr } = spawnSync(command, args, { encoding: "utf8" });
      if (round >= 0) times[i].push(performance.now() - began);
      else if (status !== 0) notes.push(`${name} ended with status ${status}: ${stderr.slice(0, 200)}`);
    });
  }
  rmSync(folder, { recursive: true });
  const timings = times.map(timingOf);
  const rows = contenders.map(({ name }, i) => [
    name,
    decimals(timings[i].minMs, 0),
    `${decimals(timings[i].meanMs, 0)} ± ${decimals(timings[i].sdMs, 0)}`,
    decimals(timings[i].minMs / timings[1].minMs, 2),
  ]);
  const table = markdownTable(["whole process", "min ms", "mean ± sd ms", "over one FFT"], rows);
  return [table, ...notes].join("\n");
}
