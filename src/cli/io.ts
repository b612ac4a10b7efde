import type { Readable, Writable } from "node:stream";
import { CliError } from "./exit.ts";

/**
 * The decoders print complaints of their own to the console; what a user needs of them the reader says in one
 * sentence. Nothing of this program's speaks through the console.
 */
export function silenceLibraries(env: Io["env"]): void {
  if (env.RINGWRIGHT_DEBUG) return;
  for (const voice of ["log", "info", "warn", "error", "debug"] as const) console[voice] = () => {};
}

/** The world as the command line sees it, so that a test can hand in another. */
export interface Io {
  stdin: Readable & { isTTY?: boolean };
  stdout: Writable & { isTTY?: boolean; columns?: number };
  stderr: Writable & { isTTY?: boolean; columns?: number };
  env: Record<string, string | undefined>;
  cwd: string;
}

/** Colour only on a terminal that can, and only where nobody asked for none (https://no-color.org). */
export function wantsColour(stream: { isTTY?: boolean }, env: Io["env"], allowed: boolean): boolean {
  return allowed && stream.isTTY === true && !env.NO_COLOR && env.TERM !== "dumb";
}

/**
 * Writes text and waits until it is taken. A pipe closed by its reader (`| head`) is no error: the rest is
 * dropped quietly. Anything else (a full disk behind a redirect) is a CliError.
 */
export function writeText(stream: Writable, text: string, what: string): Promise<void> {
  return new Promise((resolve, reject) => {
    if (text === "" || stream.destroyed) return resolve();
    stream.write(text, (error) => {
      if (!error || isClosedPipe(error)) return resolve();
      reject(
        new CliError(`cannot write to ${what} (${error.message}); free some space or name another file`),
      );
    });
  });
}

function isClosedPipe(error: Error & { code?: string }): boolean {
  return error.code === "EPIPE" || error.code === "ERR_STREAM_DESTROYED";
}

/** Characters that move a terminal's cursor, ring it, colour it, or turn the direction of what follows them. */
const CONTROLS =
  // biome-ignore lint/suspicious/noControlCharactersInRegex: these are the characters to replace
  /[\u0000-\u001f\u007f-\u009f\u2028\u2029\u202a-\u202e\u2066-\u2069]/g;
/** Far more than any sentence of ours; what is longer quotes a file or an argument. */
const LONGEST_LINE = 1000;

/**
 * A sentence as one line that is safe in a terminal: file names and fields that it quotes come from outside, and may
 * hold line breaks, escape sequences or thousands of characters.
 */
export function plainLine(text: string): string {
  const line = text.replace(/\s*[\r\n\u2028\u2029]+\s*/g, " ").replace(CONTROLS, "\ufffd");
  if (line.length <= LONGEST_LINE) return line;
  // What to do next stands at the end.
  const half = LONGEST_LINE / 2;
  return `${line.slice(0, half)} ... ${line.slice(-half)}`;
}
