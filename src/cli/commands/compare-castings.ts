import { createHash } from "node:crypto";
import { readdir, stat } from "node:fs/promises";
import { join, parse, resolve } from "node:path";
import type { ByteSource } from "../../audio/index.ts";
import type { Profile } from "../../bell/index.ts";
import type { TapMeasurement, TapOptions } from "../../measurement/index.ts";
import type { Context } from "../context.ts";
import { CliError, EXIT } from "../exit.ts";
import { expandInputs, openInput, readInput, STDIN } from "../inputs.ts";
import type { TapThreads } from "../on-threads.ts";
import { measureRecordings, threadsFor } from "../recordings.ts";
import { isSaved } from "../saved.ts";

/** The files of one casting, as one argument of the command names them. */
export interface CastingFiles {
  argument: string;
  paths: string[];
}

/** How the recordings are measured. */
export interface Settings {
  a4Hz: number;
  profile: Profile;
  /** Where; null for here. */
  threads: TapThreads | null;
  /** Threads at most for the strikes of one recording; undefined for one a core. */
  workers: number | undefined;
}

const AUDIO = /\.(wav|wave|rf64|bw64|flac|mp3|ogg|oga|opus)$/i;
const SAVED = /\.json$/i;

/**
 * What one argument stands for: a file, a pattern, a folder with its recordings, or several of these between commas.
 *
 * @throws CliError that names what is not there
 */
export async function filesOfCasting(argument: string, cwd: string): Promise<CastingFiles> {
  const isThere = argument === STDIN || (await stat(resolve(cwd, argument)).catch(() => null)) !== null;
  const parts = isThere ? [argument] : splitAtCommas(argument);
  const named: string[] = [];
  for (const part of parts) named.push(...(await filesInFolder(part, cwd)));
  const { paths, failures } = await expandInputs(named, cwd);
  if (failures.length > 0) throw failures[0];
  if (paths.length > 1 && paths.some((path) => SAVED.test(path))) {
    throw new CliError(
      `${argument}: a casting is one saved measurement or its recordings, not both or several; measure all recordings of one casting with "ringwright tap" and name the one result`,
    );
  }
  return { argument, paths };
}

/** Commas inside braces belong to a pattern. */
function splitAtCommas(argument: string): string[] {
  return argument
    .split(/,(?![^{]*\})/)
    .map((part) => part.trim())
    .filter((part) => part !== "");
}

/** The recordings in a folder, in natural order; anything else as it is. */
async function filesInFolder(path: string, cwd: string): Promise<string[]> {
  const info = path === STDIN ? null : await stat(resolve(cwd, path)).catch(() => null);
  if (info === null || !info.isDirectory()) return [path];
  const names = (await readdir(resolve(cwd, path))).filter((name) => AUDIO.test(name));
  if (names.length === 0) {
    throw new CliError(`${path}: no recording is in this folder; name the files, or another folder`);
  }
  return names.sort((x, y) => x.localeCompare(y, "en", { numeric: true })).map((name) => join(path, name));
}

/** What a casting is called where the user does not say: its folder, or its first file. */
export function usualLabel({ argument, paths }: CastingFiles): string {
  if (paths[0] === STDIN) return "standard input";
  return parse(
    paths.length === 1 ? paths[0] : argument.replace(/[*?[{(,].*$/, "").replace(/[-_. ]+$/, "") || paths[0],
  ).name;
}

/**
 * Measures one casting, or reads its saved measurement. What went wrong has been said when `measurement` is null.
 *
 * @returns the measurement, and the worst exit status met on the way
 */
export async function measureCasting(
  { paths }: CastingFiles,
  label: string,
  { a4Hz, profile, threads, workers }: Settings,
  context: Context,
): Promise<{ measurement: TapMeasurement | null; status: number }> {
  const options: TapOptions = { label, a4Hz, profile: profile.id, ridges: null, pins: {} };
  let opened: ByteSource | undefined;
  if (paths.length === 1) {
    try {
      opened = await openInput(paths[0], context.io);
      if (isSaved(opened)) {
        const { readTapJson } = await import("../../measurement/index.ts");
        const text = new TextDecoder().decode(await wholeOf(opened, paths[0], context));
        return { measurement: readTapJson(text), status: EXIT.measured };
      }
    } catch (error) {
      return { measurement: null, status: await context.fail(error, paths[0]) };
    }
  }
  return measureRecordings({ paths, opened, options, profile, threads, workers }, context);
}

/** What can be read only once is in memory already. */
async function wholeOf(opened: ByteSource, path: string, { io }: Context): Promise<Uint8Array> {
  return path === STDIN ? opened.readAt(0, opened.byteLength) : (await readInput(path, io)).bytes;
}

/** Threads for the recordings of all castings, which begin to look through them at once; null where they would not pay. */
export async function threadsForCastings(
  castings: CastingFiles[],
  workers: number | undefined,
  context: Context,
): Promise<TapThreads | null> {
  const paths = castings.flatMap((each) => each.paths).filter((path) => !SAVED.test(path));
  const threads = await threadsFor(paths, workers, context);
  void threads?.examine(paths.map((path) => ({ path, fullPath: resolve(context.io.cwd, path) })));
  return threads;
}

/** Digest of a measurement's content, to notice one that was given twice. */
export function digestOf({ partials, strikes }: TapMeasurement): string {
  return createHash("sha256")
    .update(JSON.stringify([partials, strikes]))
    .digest("base64");
}
