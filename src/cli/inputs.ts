import { createReadStream } from "node:fs";
import { readdir, readFile, realpath, stat } from "node:fs/promises";
import { basename, dirname, resolve } from "node:path";
import type { Readable } from "node:stream";
import type { ByteSource } from "../audio/index.ts";
import { CliError } from "./exit.ts";
import { fileSource } from "./file-source.ts";
import type { Io } from "./io.ts";
import { nearest } from "./nearest.ts";
import { unreadable } from "./unreadable.ts";

/** Standard input, as every command writes it. */
export const STDIN = "-";

/** The largest file read at once: what one Node buffer safely holds. */
const LARGEST_BYTES = 2 ** 31 - 1;

export interface InputFile {
  /** As the user wrote it, or as a glob found it; "-" for standard input. */
  path: string;
  bytes: Uint8Array;
}

/** The name without folders, which is what reports show: paths may be private. */
export function shownName(path: string): string {
  return path === STDIN ? STDIN : basename(path);
}

/**
 * The files that the arguments mean, in order, each once; globs that a shell left alone (quoted, or on Windows)
 * are expanded, their matches in natural order. A file whose name happens to look like a glob is taken as it is.
 *
 * @returns the paths, and an error for each argument that means no file
 */
export async function expandInputs(
  args: string[],
  cwd: string,
): Promise<{ paths: string[]; failures: CliError[] }> {
  const failures: CliError[] = [];
  const found = new Map<string, string>();
  for (const arg of args) {
    let matches = [arg];
    if (arg !== STDIN && !(await exists(resolve(cwd, arg)))) {
      matches = await matchesOf(arg, cwd);
      if (matches.length === 0) failures.push(await nothingThere(arg, cwd));
    }
    for (const path of matches) {
      const identity = path === STDIN ? STDIN : await realpath(resolve(cwd, path)).catch(() => path);
      if (!found.has(identity)) found.set(identity, path);
    }
  }
  return { paths: [...found.values()], failures };
}

async function matchesOf(pattern: string, cwd: string): Promise<string[]> {
  if (!/[*?[{(]/.test(pattern)) return [];
  const { glob } = await import("tinyglobby");
  const slashed = process.platform === "win32" ? pattern.replaceAll("\\", "/") : pattern;
  const matches = await glob(slashed, { cwd, expandDirectories: false });
  return matches.sort((a, b) => a.localeCompare(b, "en", { numeric: true }));
}

async function exists(path: string): Promise<boolean> {
  return stat(path).then(
    () => true,
    // A file that is there but cannot be looked at is reported when it is read, with the right reason.
    (error: NodeJS.ErrnoException) => error.code !== "ENOENT",
  );
}

async function nothingThere(arg: string, cwd: string): Promise<CliError> {
  // What stands for bytes that are no UTF-8, in which old cards and disks keep names: such a file cannot be named here.
  if (arg.includes("\uFFFD")) {
    return new CliError(`${arg}: its name is not in UTF-8; rename it, or pipe it in, as in "tap - < FILE"`);
  }
  if (/[*?[{(]/.test(arg)) {
    return new CliError(`${arg}: no file matches; check the pattern and the folder`);
  }
  const neighbours = await readdir(dirname(resolve(cwd, arg))).catch(() => []);
  const guess = nearest(basename(arg), neighbours);
  return new CliError(
    `${arg}: there is no such file; ${guess ? `did you mean ${guess}?` : "check the name and the folder"}`,
  );
}

/** Reads one file, or standard input for "-", whole. Errors are CliErrors that name it. */
export async function readInput(path: string, io: Io): Promise<InputFile> {
  const size = await sizeOfFile(path, io);
  if (size === null) return { path, bytes: await readPipe(path, io) };
  if (size > LARGEST_BYTES) throw tooLarge(path);
  try {
    return { path, bytes: await readFile(resolve(io.cwd, path)) };
  } catch (error) {
    throw unreadable(path, error as NodeJS.ErrnoException);
  }
}

/**
 * Opens one file to read of it what is wanted, however large it is. Standard input, a pipe and a device, which can
 * be read only once and in order, are read whole, up to 2 GiB. Errors are CliErrors that name it.
 */
export async function openInput(path: string, io: Io): Promise<ByteSource> {
  const size = await sizeOfFile(path, io);
  if (size !== null) return fileSource(resolve(io.cwd, path), path);
  const { sourceOfBytes } = await import("../audio/index.ts");
  return sourceOfBytes(await readPipe(path, io));
}

/** Bytes of a plain file; null for what has no size beforehand: standard input, a pipe, a device. @throws CliError */
export async function sizeOfFile(path: string, io: Pick<Io, "cwd">): Promise<number | null> {
  if (path === STDIN) return null;
  try {
    const info = await stat(resolve(io.cwd, path));
    if (info.isDirectory()) {
      throw new CliError(`${path}: this is a folder; name the files in it, for example "${path}/*.wav"`);
    }
    return info.isFile() ? info.size : null;
  } catch (error) {
    throw error instanceof CliError ? error : unreadable(path, error as NodeJS.ErrnoException);
  }
}

async function readPipe(path: string, io: Io): Promise<Uint8Array> {
  if (path !== STDIN) {
    try {
      return await readStream(createReadStream(resolve(io.cwd, path)), path);
    } catch (error) {
      throw error instanceof CliError ? error : unreadable(path, error as NodeJS.ErrnoException);
    }
  }
  if (io.stdin.isTTY === true) {
    throw new CliError("-: standard input is a terminal; pipe a file into it or name one");
  }
  return readStream(io.stdin, "standard input");
}

async function readStream(stream: Readable, what: string): Promise<Uint8Array> {
  const chunks: Buffer[] = [];
  let size = 0;
  for await (const chunk of stream) {
    const bytes = Buffer.from(chunk);
    size += bytes.length;
    if (size > LARGEST_BYTES) throw tooLarge(what);
    chunks.push(bytes);
  }
  return Buffer.concat(chunks);
}

function tooLarge(path: string): CliError {
  return new CliError(`${path}: larger than 2 GiB; a recording can be cut into one file a strike or so`);
}
