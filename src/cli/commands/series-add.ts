import { access, constants } from "node:fs/promises";
import { join, relative, resolve } from "node:path";
import type { NewPass } from "../../series/index.ts";
import type { Context } from "../context.ts";
import { CliError, EXIT, worstStatus } from "../exit.ts";
import { expandInputs, STDIN } from "../inputs.ts";
import { whileLocked } from "../lock.ts";
import { numberWithin } from "../options.ts";
import { writeOutput } from "../outputs.ts";
import { loadProfile } from "../profile.ts";
import { ledBy } from "../sentence.ts";
import type { CommandSpec, OptionSpec } from "../spec.ts";
import { CACHE_FOLDER } from "./series-cache.ts";
import { inFile, openSeries } from "./series-file.ts";
import { measureNew } from "./series-measure.ts";

/** The options, as the fields of a pass that they fill. */
type AddFlags = Omit<NewPass, "recordings">;

const text = (name: string, value: string, description: string): OptionSpec => ({
  name,
  value,
  description,
  completes: null,
});

const amount = (name: string, value: string, description: string, low: number, high: number): OptionSpec => ({
  ...text(name, value, description),
  parse: (written) => numberWithin(written, `--${name}`, low, high, value.toLowerCase()),
});

export const seriesAdd: CommandSpec = {
  name: "add",
  summary: "measure recordings of a bell and write them into the series file as its next pass",
  arguments: [
    {
      name: "FILE",
      description: "the series file; its layout and remarks stay as they are",
      completes: "file",
    },
    { name: "BELL", description: "the bell's name in the file", completes: null },
    { name: "RECORDING", description: "recordings of this pass", completes: "file", repeatable: true },
  ],
  options: [
    amount("removed-g", "GRAMS", "metal taken off since the pass before", 0, 1e6),
    amount("removed-mm", "MILLIMETRES", "or the wall taken off", 0, 1000),
    text("at", "PLACE", "where: inner lip, soundbow, waist, shoulder, crown ..."),
    text("date", "DATE", "when, such as 2026-05-01"),
    amount("metal-c", "CELSIUS", "temperature of the bell", -50, 100),
    amount("air-c", "CELSIUS", "temperature of the air", -50, 60),
    text("note", "TEXT", "a remark of yours"),
  ],
  examples: ["ringwright series add my-row.yaml first first-2.wav --removed-g 8 --at 'inner lip'"],
  note: "Taking off metal: local codes and licensed practice come first; stop the machine before you strike.",
  act: ({ args, flags, context }) => add(args[0]!, args[1]!, args.slice(2), flags as AddFlags, context),
};

async function add(
  path: string,
  bell: string,
  given: string[],
  flags: AddFlags,
  context: Context,
): Promise<number> {
  const { cwd } = context.io;
  if (path === STDIN) throw new CliError("series add needs a file to write into, not standard input");
  const { text: old, file, folder } = await openSeries(path, context);
  // A new file takes the old one's place, which asks for no leave to write into it.
  await access(resolve(cwd, path), constants.W_OK).catch(() => {
    throw new CliError(`${path}: is protected against writing; take that away and try again`);
  });
  const { paths, failures } = await expandInputs(given, cwd);
  for (const failure of failures) throw failure;
  // As a series file on another system reads it.
  const recordings = paths.map((each) => relative(folder, resolve(cwd, each)).replaceAll("\\", "/"));
  const { appendPass } = await import("../../series/index.ts");
  // Before anything is measured: whether the pass can be written at all.
  const pass = { recordings, ...flags };
  inFile(path, () => appendPass(old, bell, pass));

  const profile = await loadProfile(profilePath(file.profile, folder), context);
  const options = { label: bell, a4Hz: file.a4Hz, profile: profile.id, ridges: null, pins: {} };
  const job = { paths: recordings.map((name) => resolve(folder, name)), options, profile };
  const [result] = await measureNew([job], join(folder, CACHE_FOLDER), 1, context);
  let status: number = EXIT.measured;
  for (const failure of result!.failed) {
    await context.say(ledBy(recordings[failure.index]!, failure.reason));
    status = worstStatus(status, failure.status);
  }
  if (result!.measurement === null) {
    await context.say(`${path} was left as it is: nothing of this pass could be measured`);
    return status;
  }
  await whileLocked(resolve(cwd, path), path, async () => {
    // The file as it is now: it may have been edited while the recordings were measured.
    const now = await openSeries(path, context);
    const longer = inFile(path, () => appendPass(now.text, bell, pass));
    await writeOutput(path, longer, { cwd, force: true });
  });
  return status;
}

/** A profile of the user's own lies beside the series file. */
export function profilePath(profile: string, folder: string): string {
  return /\.json$/i.test(profile) ? resolve(folder, profile) : profile;
}
