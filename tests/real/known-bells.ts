import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import type { KnownBell } from "./score.ts";

export interface KnownRecording {
  name: string;
  path: string;
  known: KnownBell;
}

/**
 * The recordings of a folder and what its `lines.json` knows of them:
 * `{ "bells": { "NAME": { "noteHz", "lines": [{ "hz", "tolHz", "db" }], "names": { "hum": 98.9 } } } }` beside NAME.flac or NAME.wav.
 *
 * @param only names to keep, or undefined for all
 * @returns a sentence where the folder is none of these
 */
export function knownRecordings(
  folder: string | undefined,
  only: string[] | undefined,
): KnownRecording[] | string {
  if (folder === undefined)
    return "give a folder that holds recordings of single bells (NAME.flac or NAME.wav) and a lines.json of what is in them: npm run real -- FOLDER";
  const file = join(folder, "lines.json");
  if (!existsSync(file))
    return `${file} does not exist: it must list for each recording its lines (hz, tolHz, db), names and noteHz`;
  let bells: unknown;
  try {
    bells = JSON.parse(readFileSync(file, "utf8"))?.bells;
  } catch {
    return `${file} is no JSON: write it anew`;
  }
  if (typeof bells !== "object" || bells === null) return `${file} holds no "bells": an object by file name`;
  const all = Object.entries(bells);
  const faulty = all.find(([, bell]) => !isKnownBell(bell));
  if (faulty)
    return `${file}: "${faulty[0]}" needs noteHz (a number), lines (each with hz, tolHz, db) and names (name to hertz)`;
  const unknown = only?.find((name) => all.every(([known]) => known !== name));
  if (unknown !== undefined) return `${file} does not know "${unknown}"; take names from it for --only`;
  const found = all
    .filter(([name]) => only === undefined || only.includes(name))
    .flatMap(([name, known]) => {
      const path = [".flac", ".wav"].map((ending) => join(folder, name + ending)).find(existsSync);
      return path === undefined ? [] : [{ name, path, known: known as KnownBell }];
    });
  return found.length > 0 ? found : `${folder} holds none of the recordings that ${file} names`;
}

function isKnownBell(bell: unknown): bell is KnownBell {
  const { noteHz, lines, names } = (bell ?? {}) as Record<string, unknown>;
  return (
    typeof noteHz === "number" &&
    Array.isArray(lines) &&
    lines.every((line) => [line?.hz, line?.tolHz, line?.db].every((x) => typeof x === "number")) &&
    typeof names === "object" &&
    names !== null &&
    Object.values(names).every((hz) => typeof hz === "number")
  );
}
