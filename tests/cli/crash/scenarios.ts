import { spawnSync } from "node:child_process";
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { isTapMeasurement } from "../../../src/measurement/index.ts";
import { readSeries } from "../../../src/series/index.ts";
import { expectDocument } from "../../fuzz/documents.ts";
import { MEASUREMENTS } from "../../fuzz/measurements.ts";
import { smallBellWav } from "../small-bell.ts";

/** Commands that write, and what must be whole of what they leave, whenever they are killed. */
export interface Scenario {
  name: string;
  argv: string[];
  /** Puts the inputs into an empty folder. */
  prepare(folder: string): void;
  /** Throws where a file in the folder is neither the old one nor a whole new one. */
  check(folder: string, before: Files): void;
}

export type Files = Record<string, string>;

const SERIES = `set: invented row
bells:
  - name: first
    target: C6
    passes:
      - recordings: [bell.json]
`;

export const SCENARIOS: readonly Scenario[] = [
  {
    name: "tap --json --html",
    argv: ["tap", "bell.wav", "--json", "out.json", "--html", "out.html", "--force"],
    prepare: (folder) => writeFileSync(join(folder, "bell.wav"), smallBellWav()),
    check: checkAll,
  },
  {
    name: "plan charge --json --html",
    argv: [
      "plan",
      "charge",
      "--mass",
      "12kg",
      "--alloy",
      "Cu80Sn20",
      "--json",
      "out.json",
      "--html",
      "out.html",
      "--force",
    ],
    prepare: () => {},
    check: checkAll,
  },
  {
    name: "series --json --html --csv --tap-reports",
    argv: [
      ...["series", "row.yaml", "--json", "out.json", "--html", "out.html", "--csv", "out.csv"],
      ...["--tap-reports", "taps", "--force", "--quiet"],
    ],
    prepare(folder) {
      writeFileSync(join(folder, "row.yaml"), SERIES);
      writeFileSync(join(folder, "bell.json"), JSON.stringify(MEASUREMENTS[0]));
    },
    check: checkAll,
  },
  {
    name: "series add",
    argv: ["series", "add", "row.yaml", "first", "bell.json", "--removed-g", "8", "--at", "inner lip"],
    prepare(folder) {
      writeFileSync(join(folder, "row.yaml"), SERIES);
      writeFileSync(join(folder, "bell.json"), JSON.stringify(MEASUREMENTS[0]));
    },
    check: checkAll,
  },
];

/** All files of a folder and of those in it, by their names. */
export function filesIn(folder: string): Files {
  const files: Files = {};
  for (const entry of readdirSync(folder, { recursive: true, withFileTypes: true })) {
    if (!entry.isFile()) continue;
    const path = join(entry.parentPath, entry.name);
    files[path.slice(folder.length + 1)] = readFileSync(path, "utf8");
  }
  return files;
}

export const isLeftover = (name: string): boolean => /(^|\/)\.[^/]+\.(\d+-[0-9a-f]{8}\.tmp|lock)$/.test(name);

/** Every file is what it was, or whole and new, or a leftover that is named as one. */
function checkAll(folder: string, before: Files): void {
  for (const [name, text] of Object.entries(filesIn(folder))) {
    if (text === before[name] || isLeftover(name) || name.endsWith("CACHEDIR.TAG")) continue;
    try {
      checkWhole(name, text);
    } catch (error) {
      throw new Error(`${name} is neither old nor whole: ${(error as Error).message}: ...${text.slice(-80)}`);
    }
  }
}

function checkWhole(name: string, text: string): void {
  if (name.endsWith(".json")) checkDocument(name, text);
  else if (name.endsWith(".html")) {
    if (!/^<!doctype html>/i.test(text) || !text.endsWith("</html>\n")) throw new Error("no whole page");
  } else if (name.endsWith(".yaml")) readSeries(text);
  else if (name.endsWith(".csv")) {
    if (!text.endsWith("\n") && !text.endsWith("\r\n")) throw new Error("no whole table");
  } else throw new Error("a file of no known kind");
}

/** A result by its schema; what series keeps beside its file by the measurement in it. */
function checkDocument(name: string, text: string): void {
  if (!name.startsWith(".ringwright-cache")) {
    expectDocument(text, name);
    return;
  }
  const { measurement, failed } = JSON.parse(text);
  if (!isTapMeasurement(measurement) || !Array.isArray(failed)) throw new Error("no measurement");
}

/** Starts from whole outputs of an earlier run, in a folder of its own. */
export function preparedFolder(bin: string, scenario: Scenario): { folder: string; tookMs: number } {
  const folder = mkdtempSync(join(tmpdir(), "ringwright-kill-"));
  mkdirSync(folder, { recursive: true });
  scenario.prepare(folder);
  const started = Date.now();
  const { status, stderr } = spawnSync(bin, scenario.argv, { cwd: folder, encoding: "utf8" });
  if (status !== 0) throw new Error(`${scenario.name} gives ${status}: ${stderr}`);
  return { folder, tookMs: Date.now() - started };
}

export const removeFolder = (folder: string): void => rmSync(folder, { recursive: true, force: true });
