import { existsSync, realpathSync, type Stats, statSync } from "node:fs";
import { link, open, rename, rm } from "node:fs/promises";
import { basename, dirname, join, resolve } from "node:path";
import { CliError, InterruptedError } from "./exit.ts";
import { STDIN } from "./inputs.ts";
import { removeLeftovers, temporaryName } from "./temporary-files.ts";

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
  const read = new Set(inputs.filter((path) => path !== STDIN).map((path) => placeOf(resolve(cwd, path))));
  for (const { option, path } of targets) {
    const place = path === STDOUT ? STDOUT : placeOf(resolve(cwd, path));
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
    checkPlace(option, path, resolve(cwd, path), force);
  }
}

/** Where a path leads: through a link it is the file behind that is written. What is not there yet lies in its folder. */
function placeOf(path: string): string {
  try {
    return realpathSync(path);
  } catch {
    try {
      return join(realpathSync(dirname(path)), basename(path));
    } catch {
      return path;
    }
  }
}

function checkPlace(option: string, path: string, place: string, force: boolean): void {
  let info: Stats | undefined;
  try {
    info = statSync(place, { throwIfNoEntry: false });
  } catch (error) {
    throw unwritable(`${option} ${path}`, error as NodeJS.ErrnoException);
  }
  if (info?.isDirectory()) throw new CliError(`${option} ${path} is a folder; name a file in it`);
  if (info && isOrdinary(info) && !force) throw alreadyThere(path);
  if (info) return;
  const folder = statSync(dirname(place), { throwIfNoEntry: false });
  if (!folder) {
    throw new CliError(`${option} ${path}: the folder ${dirname(path)} is not there; make it first`);
  }
  if (!folder.isDirectory()) {
    throw new CliError(`${option} ${path}: ${dirname(path)} is a file, not a folder; name another place`);
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
 * or Ctrl-C takes the temporary file away and leaves an old file as it was; a power cut or a kill leaves the old or
 * the new one, and perhaps the temporary file, which a later write of the same name takes away. Of several programs
 * that write one name at once the last one wins with --force, and the first without. A device or a pipe
 * (`/dev/stdout`) is written to directly, since it cannot be replaced.
 */
export async function writeOutput(
  path: string,
  content: string | Uint8Array,
  { cwd, force }: { cwd: string; force: boolean },
): Promise<void> {
  try {
    const named = resolve(cwd, path);
    const info = statSync(named, { throwIfNoEntry: false });
    if (info && !isOrdinary(info)) return await writeThrough(named, content, "w");
    // Through a link it is the file behind that is replaced, not the link.
    const place = info ? realpathSync(named) : named;
    const temporary = temporaryName(place);
    await undisturbed(temporary, async (interrupted) => {
      await removeLeftovers(place);
      // Who may read the old file may read the new one, and nobody else.
      await writeThrough(temporary, content, "wx", info ? info.mode & 0o777 : undefined);
      if (interrupted()) throw new InterruptedError();
      if (force) await rename(temporary, place);
      else await giveName(temporary, place, path);
      await flushFolder(dirname(place));
    });
  } catch (error) {
    throw error instanceof CliError ? error : unwritable(path, error as NodeJS.ErrnoException);
  }
}

async function writeThrough(
  place: string,
  content: string | Uint8Array,
  flags: "w" | "wx",
  mode?: number,
): Promise<void> {
  const file = await open(place, flags, mode);
  try {
    // The mask of the process takes bits away from a mode that is asked for.
    if (mode !== undefined) await file.chmod(mode).catch(() => {});
    await file.writeFile(content);
    // Pipes and terminals know no flush.
    if (flags === "wx") await file.sync();
  } finally {
    await file.close();
  }
}

/** What a file system without hard links (FAT, some network folders) says. */
const NO_LINKS = ["EPERM", "ENOSYS", "ENOTSUP", "EOPNOTSUPP", "EMLINK", "EXDEV", "EINVAL"];

/** Gives the temporary file its name unless the name is taken: in one step where the file system has one. */
async function giveName(temporary: string, place: string, path: string): Promise<void> {
  try {
    await link(temporary, place);
  } catch (error) {
    const { code = "" } = error as NodeJS.ErrnoException;
    if (code === "EEXIST") throw alreadyThere(path);
    if (!NO_LINKS.includes(code)) throw error;
    if (existsSync(place)) throw alreadyThere(path);
    return await rename(temporary, place);
  }
  await rm(temporary, { force: true });
}

/** So that the new name outlives a power cut; some systems cannot, and the file itself is whole either way. */
async function flushFolder(folder: string): Promise<void> {
  const handle = await open(folder, "r").catch(() => null);
  await handle?.sync().catch(() => {});
  await handle?.close();
}

const SIGNALS = ["SIGINT", "SIGTERM", "SIGHUP"] as const;
/** Whom to tell of a signal: the files that are being written now. One listener serves all, however many they are. */
const writing = new Set<() => void>();

function tellWriting(): void {
  for (const tell of writing) tell();
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
  if (writing.size === 0) for (const signal of SIGNALS) process.on(signal, tellWriting);
  writing.add(note);
  try {
    await step(() => signalled);
  } catch (error) {
    await rm(temporary, { force: true }).catch(() => {});
    throw error;
  } finally {
    writing.delete(note);
    if (writing.size === 0) for (const signal of SIGNALS) process.off(signal, tellWriting);
  }
  if (signalled) throw new InterruptedError();
}

/** The reasons the system gives, in plain words. */
export function unwritable(path: string, error: NodeJS.ErrnoException): CliError {
  switch (error.code) {
    case "ENOSPC":
    case "EDQUOT":
      return new CliError(`${path}: the disk is full; free some space or write elsewhere`);
    case "EFBIG":
      return new CliError(`${path}: larger than files may be here (see ulimit -f); write elsewhere`);
    case "EACCES":
    case "EPERM":
      return new CliError(`${path}: you are not allowed to write there; name a file in a folder of yours`);
    case "EROFS":
      return new CliError(`${path}: that folder can only be read; name a file in another one`);
    case "ENOTDIR":
      return new CliError(`${path}: part of this path is a file, not a folder; check the path`);
    case "ENOENT":
      return new CliError(`${path}: the folder ${dirname(path)} is not there; make it first`);
    case "ENAMETOOLONG":
      return new CliError(`${path}: this name is longer than the system allows; choose a shorter one`);
    default:
      return new CliError(`${path}: cannot be written (${error.code ?? error.message}); name another file`);
  }
}
