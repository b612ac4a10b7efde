import { parse } from "node:path";
import type { TapMeasurement } from "../../measurement/index.ts";
import type { Context } from "../context.ts";
import { CliError, explainError } from "../exit.ts";
import { openInput, STDIN, shownName } from "../inputs.ts";
import { isSaved } from "../saved.ts";
import { ledBy } from "../sentence.ts";

/**
 * A measured bell: the JSON that `tap` saved, or a recording, which is measured with the usual settings.
 *
 * @throws CliError that names the file
 */
export async function readMeasuredBell(
  path: string,
  a4Hz: number,
  context: Context,
): Promise<TapMeasurement> {
  const source = await openInput(path, context.io);
  try {
    if (isSaved(source)) {
      const { readTapJson } = await import("../../measurement/index.ts");
      return readTapJson(new TextDecoder().decode(source.readAt(0, source.byteLength)));
    }
    context.progress.showBeforeLongStep(`measuring ${path}`);
    const recording = await context.engine.openRecording(source);
    for (const warning of recording.warnings) await context.say(ledBy(path, warning));
    const label = path === STDIN ? "standard input" : parse(path).name;
    const options = { label, a4Hz, profile: "minor-third", ridges: null, pins: {} };
    return await context.engine.measureTap([{ file: shownName(path), recording }], options);
  } catch (error) {
    if (error instanceof CliError) throw error;
    const { status, sentence } = explainError(error);
    throw new CliError(ledBy(path, sentence), status);
  }
}
