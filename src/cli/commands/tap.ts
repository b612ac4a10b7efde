import { parse } from "node:path";
import type { TapMeasurement, TapOptions } from "../../measurement/index.ts";
import type { Context } from "../context.ts";
import type { NamedRecording } from "../engine.ts";
import { CliError, EXIT, worstStatus } from "../exit.ts";
import { expandInputs, STDIN } from "../inputs.ts";
import {
  A4_OPTION,
  FORCE_OPTION,
  HTML_OPTION,
  JSON_OPTION,
  LABEL_OPTION,
  parsePin,
  QUIET_OPTION,
  wholeWithin,
} from "../options.ts";
import { checkOutputs, type OutputTarget, STDOUT, writeOutput } from "../outputs.ts";
import { readRecordings } from "../recordings.ts";
import type { CommandSpec } from "../spec.ts";

/** The options of `tap` as the parser hands them over; absent ones are undefined. */
interface TapFlags {
  html?: string;
  json?: string;
  force?: boolean;
  label?: string;
  a4?: number;
  profile?: string;
  pin?: [name: string, frequencyHz: number][];
  ridges?: number;
  audio?: boolean;
  quiet?: boolean;
}

export const tap: CommandSpec = {
  name: "tap",
  summary: "measure one casting from recordings of it being struck",
  arguments: [
    {
      name: "RECORDING",
      description: "recordings of one casting, pooled; globs are expanded, - is standard input",
      completes: "file",
      repeatable: true,
    },
  ],
  options: [
    HTML_OPTION,
    JSON_OPTION,
    FORCE_OPTION,
    LABEL_OPTION,
    A4_OPTION,
    {
      name: "profile",
      value: "PROFILE",
      description: "ideal ratios to hold the partials against: a profile's id, or a JSON file of your own",
      completes: "file",
    },
    {
      name: "pin",
      value: "NAME=HZ",
      description: "name the partial at this frequency yourself, as in nominal=1234; repeatable",
      completes: null,
      repeatable: true,
      parse: parsePin,
    },
    {
      name: "ridges",
      value: "K",
      description: "the pattern repeats K times around the bell (ridges, flutes, lettering)",
      completes: null,
      parse: (text) => wholeWithin(text, "--ridges", 1, 360),
    },
    { name: "no-audio", value: null, description: "leave the sound out of the report", completes: null },
    QUIET_OPTION,
  ],
  examples: [
    "ringwright tap bell.wav",
    "ringwright tap first.wav second.wav --html bell.html --json bell.json",
    "ringwright tap 'bell-*.wav' --ridges 12 --pin nominal=1234",
  ],
  note: "A bell struck at arm's length can reach levels that harm hearing: wear ear protection, stand back.",
  act: ({ args, flags, context }) => tapCasting(args, flags as TapFlags, context),
};

/** Reads what can be read, measures it as one casting, writes the files, then prints the summary. */
async function tapCasting(args: string[], flags: TapFlags, context: Context): Promise<number> {
  const { cwd } = context.io;
  const force = flags.force === true;
  const { paths, failures } = await expandInputs(args, cwd);
  const targets = outputsOf(flags);
  checkOutputs(targets, { cwd, force, inputs: paths });
  const options = tapOptions(flags, paths);

  let status: number = EXIT.measured;
  for (const failure of failures) status = worstStatus(status, await context.fail(failure));
  const read = await readRecordings(paths, context);
  status = worstStatus(status, read.status);
  if (read.inputs.length === 0) return status;

  context.progress.show(`measuring ${read.inputs.map(({ file }) => file).join(", ")}`);
  try {
    const measurement = await context.engine.measureTap(read.inputs, options);
    const recordings = flags.audio === false ? [] : read.inputs;
    for (const { option, path } of targets) {
      const text = await textOf(option, measurement, recordings, context);
      if (path === STDOUT) await context.print(text);
      else await writeOutput(path, text, { cwd, force });
    }
    const alone = targets.some(({ path }) => path === STDOUT);
    if (!alone && !flags.quiet) await context.print(await context.engine.tapSummary(measurement, context));
  } catch (error) {
    status = worstStatus(status, await context.fail(error));
  }
  return status;
}

function outputsOf({ html, json }: TapFlags): OutputTarget[] {
  const targets: OutputTarget[] = [];
  if (json !== undefined) targets.push({ option: "--json", path: json });
  if (html !== undefined) targets.push({ option: "--html", path: html });
  // Files first: a reader that closes the pipe early must not cost the user the report.
  return targets.sort((a, b) => Number(a.path === STDOUT) - Number(b.path === STDOUT));
}

function textOf(
  option: string,
  measurement: TapMeasurement,
  recordings: NamedRecording[],
  { engine }: Context,
): Promise<string> {
  return option === "--json" ? engine.tapJson(measurement) : engine.tapHtml(measurement, recordings);
}

/** @throws CliError where two pins name one partial */
function tapOptions(flags: TapFlags, paths: string[]): TapOptions {
  const pins = new Map<string, number>();
  for (const [name, frequencyHz] of flags.pin ?? []) {
    if (pins.has(name)) throw new CliError(`--pin names ${name} twice; keep one of them`);
    pins.set(name, frequencyHz);
  }
  const first = paths[0] ?? "";
  return {
    label: flags.label ?? (first === STDIN ? "standard input" : parse(first).name),
    a4Hz: flags.a4 ?? 440,
    profile: flags.profile ?? "minor-third",
    ridges: flags.ridges ?? null,
    pins: Object.fromEntries(pins),
  };
}
