import { open, rm, stat } from "node:fs/promises";
import { basename, dirname, join } from "node:path";
import { setTimeout as pause } from "node:timers/promises";
import { CliError } from "./exit.ts";

/** Reading a small file, adding to it and writing it back takes milliseconds; a lock this old is a killed run's. */
const STALE_MS = 10_000;
const PAUSE_MS = 20;

/**
 * Runs a step that reads a file and writes it back while no other run of this program does so: of two that add to one
 * file at once, neither loses what the other added. A lock that a killed run left is taken over after ten seconds.
 *
 * @throws CliError where the folder cannot be written to, or something else has the lock's name
 */
export async function whileLocked<Value>(
  place: string,
  path: string,
  step: () => Promise<Value>,
): Promise<Value> {
  const lock = join(dirname(place), `.${basename(place)}.lock`);
  await take(lock, path);
  try {
    return await step();
  } finally {
    await rm(lock, { force: true }).catch(() => {});
  }
}

async function take(lock: string, path: string): Promise<void> {
  for (;;) {
    try {
      await (await open(lock, "wx")).close();
      return;
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== "EEXIST") {
        throw new CliError(`${path}: cannot be changed, its folder cannot be written to; copy it elsewhere`);
      }
    }
    const info = await stat(lock).catch(() => null);
    // A clock that was put back since leaves a lock of the future.
    if (info && Math.abs(Date.now() - info.mtimeMs) > STALE_MS) await takeAway(lock, path);
    await pause(PAUSE_MS);
  }
}

async function takeAway(lock: string, path: string): Promise<void> {
  try {
    await rm(lock, { force: true });
  } catch {
    throw new CliError(
      `${path}: cannot be changed while ${basename(lock)} is beside it; take that away and try again`,
    );
  }
}
