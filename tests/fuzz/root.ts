import { existsSync, readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

/** The project's folder, whether this runs as a test or as part of a bundle somewhere below it. */
export const ROOT = findRoot(dirname(fileURLToPath(import.meta.url)));

function findRoot(start: string): string {
  for (let at = start; ; at = dirname(at)) if (existsSync(join(at, "fixtures", "audio"))) return at;
}

export const readBytes = (path: string): Uint8Array => new Uint8Array(readFileSync(join(ROOT, path)));
export const readText = (path: string): string => readFileSync(join(ROOT, path), "utf8");
