import { createHash } from "node:crypto";
import { createReadStream } from "node:fs";
import { mkdir, readdir, readFile, rm, stat, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { pipeline } from "node:stream/promises";
import { isTapMeasurement } from "../../measurement/index.ts";
import { EXIT } from "../exit.ts";
import { writeOutput } from "../outputs.ts";
import { STALE_MS } from "../temporary-files.ts";
import type { Job, JobResult } from "./series-job.ts";

/** Changes when what is stored, or what it depends on, changes. */
const LAYOUT = 1;

/** Beside the series file. Everything in it can be deleted: it is measured again. */
export const CACHE_FOLDER = ".ringwright-cache";

const TAG = `Signature: 8a477f597d28d172789f06886806bc55
# Measurements of ringwright series, named by what was in the recordings. Safe to delete: they are measured again.
# The first line is the Cache Directory Tagging Standard, https://bford.info/cachedir/
`;

/** Measurements kept by the content of the recordings and the version of the method. */
export class SeriesCache {
  private readonly folder: string;
  private readonly method: string;

  constructor(folder: string, method: string) {
    this.folder = folder;
    this.method = method;
  }

  /** Makes the folder, and clears away what a killed run left half-written. @throws a system error where it cannot */
  async open(): Promise<void> {
    await mkdir(this.folder, { recursive: true });
    await writeFile(join(this.folder, "CACHEDIR.TAG"), TAG);
    for (const name of await readdir(this.folder)) {
      if (!name.endsWith(".tmp")) continue;
      const path = join(this.folder, name);
      const info = await stat(path).catch(() => null);
      if (info && Date.now() - info.mtimeMs > STALE_MS) await rm(path, { force: true }).catch(() => {});
    }
  }

  /** Name of a job by all that its result depends on, or null where a recording cannot be read. */
  async keyOf({ paths, options, profile }: Job): Promise<string | null> {
    const digests: string[] = [];
    for (const path of paths) {
      const hash = createHash("sha256");
      try {
        // A pipe can be read only once, and a device may have no end.
        if (!(await stat(path)).isFile()) return null;
        await pipeline(createReadStream(path), hash);
      } catch {
        return null;
      }
      digests.push(hash.digest("hex"));
    }
    const { a4Hz, ridges, pins } = options;
    const all = JSON.stringify([LAYOUT, this.method, digests, a4Hz, ridges, pins, profile]);
    return createHash("sha256").update(all).digest("hex");
  }

  /** What was kept under this name, or null: nothing, or nothing whole. */
  async read(key: string, { paths, options }: Job): Promise<JobResult | null> {
    let kept: unknown;
    try {
      kept = JSON.parse(await readFile(this.pathOf(key), "utf8"));
    } catch {
      return null;
    }
    if (!isJobResult(kept, paths.length)) return null;
    const { measurement } = kept;
    // Files may have been renamed since; only what was in them counts.
    if (measurement !== null) measurement.options.label = options.label;
    return kept;
  }

  /** Keeps a result, whole or not at all. A fault of the tool itself is never kept. */
  async write(key: string, result: JobResult): Promise<void> {
    if (result.failed.some(({ status }) => status === EXIT.fault)) return;
    await writeOutput(this.pathOf(key), JSON.stringify(result), { cwd: this.folder, force: true });
  }

  private pathOf(key: string): string {
    return join(this.folder, `${key}.json`);
  }
}

function isJobResult(kept: unknown, recordings: number): kept is JobResult {
  const { measurement, failed } = (kept ?? {}) as Partial<JobResult>;
  const wholeFailures =
    Array.isArray(failed) &&
    failed.every(
      (each) =>
        Number.isInteger(each?.index) &&
        each.index < recordings &&
        typeof each.reason === "string" &&
        Number.isInteger(each.status),
    );
  return wholeFailures && (measurement === null || isTapMeasurement(measurement));
}
