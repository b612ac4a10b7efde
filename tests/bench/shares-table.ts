import { spawnSync } from "node:child_process";
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { encodeWav16 } from "../../src/audio/index.ts";
import { renderBell } from "../support/synthetic/index.ts";
import { decimals, markdownTable } from "./markdown.ts";
import { bellPlan } from "./speed-table.ts";

interface Frame {
  functionName: string;
  url: string;
  lineNumber: number;
}

/** V8's CPU profile, as far as it is read here: samples name nodes, timeDeltas are microseconds before each. */
export interface CpuProfile {
  nodes: { id: number; callFrame: Frame }[];
  samples: number[];
  timeDeltas: number[];
}

const SHOWN_SHARE = 0.01;

/**
 * Where the time of a whole process goes, by folder of the sources and by file of `partials`: self times of V8's
 * sampling profiler. The bundler heads every source file with its path, which tells the file of a line.
 */
export function sharesTable(root: string): string {
  const folder = mkdtempSync(join(tmpdir(), "shares-"));
  try {
    const wav = join(folder, "bell.wav");
    const { channels, sampleRateHz } = renderBell(bellPlan(48000, 10), 1);
    writeFileSync(wav, encodeWav16(channels, sampleRateHz));
    const bin = join(root, "dist", "ringwright.mjs");
    const out = ["--json", join(folder, "bell.json"), "--html", join(folder, "bell.html"), "--force"];
    const { status, stderr } = spawnSync(
      process.execPath,
      ["--cpu-prof", "--cpu-prof-interval", "500", "--cpu-prof-dir", folder, bin, "tap", wav, ...out],
      { encoding: "utf8" },
    );
    if (status !== 0) return `ringwright tap ended with status ${status}: ${stderr.slice(0, 200)}`;
    const file = readdirSync(folder).find((name) => name.endsWith(".cpuprofile"))!;
    const profile: CpuProfile = JSON.parse(readFileSync(join(folder, file), "utf8"));
    return sharesOf(profile, (path) => readFileSync(path, "utf8"));
  } finally {
    rmSync(folder, { recursive: true });
  }
}

/** @param readText the text of a script of the profile, by path */
export function sharesOf(profile: CpuProfile, readText: (path: string) => string): string {
  const sourceOfNode = new Map<number, string>();
  const headings = new Map<string, { line: number; source: string }[]>();
  for (const { id, callFrame } of profile.nodes)
    sourceOfNode.set(id, sourceOf(callFrame, headings, readText));
  const timeOf = new Map<string, number>();
  let whole = 0;
  profile.samples.forEach((id, i) => {
    const source = sourceOfNode.get(id)!;
    if (source === "idle") return;
    whole += profile.timeDeltas[i];
    const folder = source.split("/")[0];
    timeOf.set(folder, (timeOf.get(folder) ?? 0) + profile.timeDeltas[i]);
    if (folder === "partials") timeOf.set(source, (timeOf.get(source) ?? 0) + profile.timeDeltas[i]);
  });
  const rows = [...timeOf]
    .filter(([, time]) => time >= SHOWN_SHARE * whole)
    .sort((a, b) => b[1] - a[1])
    .map(([source, time]) => [source, decimals(time / 1000, 0), decimals((100 * time) / whole, 1)]);
  return markdownTable(["source (files of partials are in partials)", "ms", "share, %"], rows);
}

function sourceOf(
  { functionName, url, lineNumber }: Frame,
  headings: Map<string, { line: number; source: string }[]>,
  readText: (path: string) => string,
): string {
  if (functionName === "(idle)") return "idle";
  if (functionName === "(garbage collector)") return "garbage collection";
  if (!url.startsWith("file:")) return "node itself";
  let known = headings.get(url);
  if (known === undefined) {
    known = headingsOf(readText(fileURLToPath(url)));
    headings.set(url, known);
  }
  return known.findLast(({ line }) => line <= lineNumber)?.source ?? "node itself";
}

/** Lines such as "// src/partials/start.ts" and the file they name, "partials/start.ts"; packages by their name. */
function headingsOf(text: string): { line: number; source: string }[] {
  return text.split("\n").flatMap((content, line) => {
    const own = /^\/\/ src\/(.+)$/.exec(content);
    if (own) return [{ line, source: own[1] }];
    const packaged = /^\/\/ node_modules\/((?:@[^/]+\/)?[^/]+)\//.exec(content);
    return packaged ? [{ line, source: packaged[1] }] : [];
  });
}
