import type { Readable, Writable } from "node:stream";
import { CliError } from "./exit.ts";

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
