import { mkdirSync, symlinkSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { writeGuideRecordings } from "../bench/guide-wav.ts";
import { smallBellWav } from "../cli/small-bell.ts";
import { bellCsv } from "../shape/support/bells.ts";
import { ROOT } from "./markdown.ts";

/** What a founder who follows the documents has at hand: invented strikes of small bells, by the names in the examples. */
const RECORDINGS: [name: string, seed: number, primeHz: number][] = [
  ["bell.wav", 1, 1046],
  ["bell-1.wav", 2, 1046],
  ["bell-2.wav", 3, 1046],
  ["heat1.wav", 4, 700],
  ["heat2.wav", 5, 716],
  ["heat1-1.wav", 4, 700],
  ["heat1-2.wav", 6, 700],
  ["heat2-1.wav", 5, 716],
  ["heat2-2.wav", 7, 716],
  ["heat1/strike.wav", 4, 700],
  ["heat2/strike.wav", 5, 716],
  ["heat3/strike.wav", 8, 705],
  ["first-0.wav", 9, 1040],
  ["first-1.wav", 10, 1046],
  ["first-1b.wav", 11, 1046],
  ["first-2.wav", 12, 1046],
];

/** Measurements that a document takes as saved before, each with the recording that it is made from. */
export const SAVED: Record<string, [json: string, recording: string][]> = {
  "docs/compare.md": [
    ["first.json", "heat1.wav"],
    ["second.json", "heat2.wav"],
  ],
  "docs/forecast.md": [["bell.json", "bell.wav"]],
  "docs/plan.md": [
    ["bell.json", "bell.wav"],
    ["casting.json", "bell-1.wav"],
  ],
};

/** Puts the recordings into a folder, with the installed packages beside them. */
export function fillBenchFolder(folder: string): void {
  for (const [name, seed, primeHz] of RECORDINGS) {
    const path = join(folder, name);
    mkdirSync(dirname(path), { recursive: true });
    writeFileSync(path, smallBellWav({ seed, primeHz, seconds: 1.5 }));
  }
  writeFileSync(join(folder, "bell.csv"), bellCsv("church"));
  writeGuideRecordings(folder);
  symlinkSync(join(ROOT, "node_modules"), join(folder, "node_modules"), "junction");
}
