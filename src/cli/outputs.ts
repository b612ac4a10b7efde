import { existsSync, realpathSync, type Stats, statSync } from "node:fs";
import { open, rename, rm } from "node:fs/promises";
import { basename, dirname, join, resolve } from "node:path";
import { CliError, InterruptedError } from "./exit.ts";
import { STDIN } from "./inputs.ts";

/** Standard output, as every command writes it. */
export const STDOUT = "-";

/** A file a command was asked to write. */
export interface OutputTarget {
  /** The option that names it, for messages: "--json". */
  option: string;
  /** As the user wrote it; "-" is standard output. */
  path: string;
}

/**
 * Refuses, before any work is done, what could not or must not be written: two results in one place, a file
 * over a recording, a folder that is not there, an existing file without --force.
 */
export function checkOutputs(
  targets: OutputTarget[],
  { cwd, force, inputs }: { cwd: string; force: boolean; inputs: string[] },
): void {
  const taken = new Map<string, string>();
  const read = new Set(inputs.filter((path) => path !== STDIN).map((path) => resolve(cwd, path)));
  for (const { option, path } of targets) {
    const place = path === STDOUT ? STDOUT : resolve(cwd, path);
    const other = taken.get(place);
    if (other !== undefined) {
      throw new CliError(
        `${other} and ${option} cannot both go to ${path}; name another file for one of them`,
      );
    }
    taken.set(place, option);
    if (path === STDOUT) continue;
    if (path === "") throw new CliError(`${option} needs a file name, or - for standard output`);
    if (read.has(place)) throw new CliError(`${option} ${path} would replace an input; name another file`);
    checkPlace(option, path, place, force);
  }
}

function checkPlace(option: string, path: string, place: string, force: boolean): void {
  const info = statSync(place, { throwIfNoEntry: false });
  if (info?.isDirectory()) throw new CliError(`${option} ${path} is a folder; name a file in it`);
  if (info && isOrdinary(info) && !force) throw alreadyThere(path);
  if (!info && !existsSync(dirname(place))) {
    throw new CliError(`${option} ${path}: the folder ${dirname(path)} is not there; make it first`);
  }
}

function isOrdinary(info: Stats): boolean {
  return info.isFile();
}

function alreadyThere(path: string): CliError {
  return new CliError(`${path} is already there; add --force to replace it, or name another file`);
}

/**
 * Writes a file whole or not at all: to a temporary name beside it, flushed to disk, then renamed. A failure
 * or Ctrl-C takes the temporary file away and leaves an old file as it was; a power cut leaves the old or the
 * new one. A device or a pipe (`/dev/stdout`) is written to directly, since it cannot be replaced.
 */
export async function writeOutput(
  path: string,
  content: string | Uint8Array,
  { cwd, force }: { cwd: string; force: boolean },
): Promise<void> {
  const named = resolve(cwd, path);
  const info = statSync(named, { throwIfNoEntry: false });
  try {
    if (info && !isOrdinary(info)) return await writeThrough(named, content, "w");
    // Through a link it is the file behind that is replaced, not the link.
    const place = info ? realpathSync(named) : named;
    const temporary = join(dirname(place), `.${basename(place).slice(0, 200)}.${process.pid}.tmp`);
    await undisturbed(temporary, async (interrupted) => {
      await writeThrough(temporary, content, "wx");
      if (interrupted()) throw new InterruptedError();
      if (!force && existsSync(place)) throw alreadyThere(path);
      await rename(temporary, place);
    });
  } catch (error) {
    throw error instanceof CliError ? error : unwritable(path, error as NodeJS.ErrnoException);
  }
}

async function writeThrough(place: string, content: string | Uint8Array, flags: "w" | "wx"): Promise<void> {
  const file = await open(place, flags);
  try {
    await file.writeFile(content);
    // Pipes and terminals know no flush.
    if (flags === "wx") await file.sync();
  } finally {
    await file.close();
  }
}

/**
 * Runs a step during which a temporary file exists. Elsewhere Ctrl-C ends the process at once, even inside a
 * long fit, by the signal's own default; only here is it held back until the file is taken away.
 */
async function undisturbed(
  temporary: string,
  step: (interrupted: () => boolean) => Promise<void>,
): Promise<void> {
  let signalled = false;
  const note = (): void => {
    signalled = true;
  };
  const signals = ["SIGINT", "SIGTERM", "SIGHUP"] as const;
  for (const signal of signals) process.on(signal, note);
  try {
    await step(() => signalled);
  } catch (error) {
    await rm(temporary, { force: true }).catch(() => {});
    throw error;
  } finally {
    for (const signal of signals) process.off(signal, note);
  }
  if (signalled) throw new InterruptedError();
}

/** The reasons the system gives, in plain words. */
export function unwritable(path: string, error: NodeJS.ErrnoException): CliError {
  switch (error.code) {
    case "ENOSPC":
    case "EDQUOT":
      return new CliError(`${path}: the disk is full; free some space or write elsewhere`);
    case "EACCES":
    case "EPERM":
    case "EROFS":
      return new CliError(`${path}: you are not allowed to write there; name a file in a folder of yours`);
    default:
      return new CliError(`${path}: cannot be written (${error.code ?? error.message}); name another file`);
  }
}
