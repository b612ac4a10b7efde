import { createHash } from "node:crypto";
import type { Context } from "./context.ts";
import type { NamedRecording } from "./engine.ts";
import { EXIT, worstStatus } from "./exit.ts";
import { readInput, shownName } from "./inputs.ts";
import { ledBy } from "./sentence.ts";

/**
 * Reads and decodes recordings, in order. A bad one is reported and the rest go on; a byte-for-byte copy is
 * counted once, since the same strike twice would make the intervals narrower than they are.
 *
 * @returns what could be read, and the worst exit status met
 */
export async function readRecordings(
  paths: string[],
  context: Context,
): Promise<{ inputs: NamedRecording[]; status: number }> {
  const inputs: NamedRecording[] = [];
  const pathOfDigest = new Map<string, string>();
  let status: number = EXIT.measured;
  for (const [at, path] of paths.entries()) {
    context.progress.show(`reading ${path} (${at + 1} of ${paths.length})`);
    try {
      const { bytes } = await readInput(path, context.io);
      const twin = paths.length > 1 ? twinOf(path, bytes, pathOfDigest) : undefined;
      if (twin !== undefined) {
        await context.say(`${path}: the same recording as ${twin}, so it is counted once`);
        continue;
      }
      const recording = await context.engine.decodeRecording(bytes);
      for (const warning of recording.warnings) await context.say(ledBy(path, warning));
      inputs.push({ file: shownName(path), recording });
    } catch (error) {
      status = worstStatus(status, await context.fail(error, path));
    }
  }
  return { inputs, status };
}

/** The path of an earlier file with the same bytes; remembers this one otherwise. */
function twinOf(path: string, bytes: Uint8Array, pathOfDigest: Map<string, string>): string | undefined {
  if (bytes.length === 0) return undefined;
  const digest = createHash("sha256").update(bytes).digest("base64");
  const twin = pathOfDigest.get(digest);
  if (twin === undefined) pathOfDigest.set(digest, path);
  return twin;
}
