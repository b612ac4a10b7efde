import { randomBytes } from "node:crypto";
import { readdir, rm, stat } from "node:fs/promises";
import { basename, dirname, join } from "node:path";

/** Names of files that are being written, and what a killed run left of them. */

/** A program that still writes has touched its file since; one that was killed never will again. */
export const STALE_MS = 10 * 60 * 1000;

const ENDING = ".tmp";
/** Most file systems hold names of 255 bytes; what stands around the name takes up to 26. */
const MOST_NAME_BYTES = 200;

/** ".bell.html.<process>-<chance>.tmp", beside the file: hidden, and it tells whose it is. */
export function temporaryName(place: string): string {
  return join(dirname(place), `${stemOf(place)}${process.pid}-${randomBytes(4).toString("hex")}${ENDING}`);
}

/** Removes what runs that were killed ten minutes ago or earlier left of this file. Never throws. */
export async function removeLeftovers(place: string): Promise<void> {
  const folder = dirname(place);
  const stem = stemOf(place);
  for (const name of await readdir(folder).catch(() => [])) {
    if (!name.startsWith(stem) || !/^\d+-[0-9a-f]{8}\.tmp$/.test(name.slice(stem.length))) continue;
    const path = join(folder, name);
    const info = await stat(path).catch(() => null);
    if (info && Date.now() - info.mtimeMs > STALE_MS) await rm(path, { force: true }).catch(() => {});
  }
}

/** The name without its end where it is very long: by whole characters, counted in bytes as the system counts. */
function stemOf(place: string): string {
  let stem = ".";
  for (const character of basename(place)) {
    if (Buffer.byteLength(stem + character) > MOST_NAME_BYTES) break;
    stem += character;
  }
  return `${stem}.`;
}
