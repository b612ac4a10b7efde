import { parse } from "node:path";
import type { Profile } from "../../bell/index.ts";
import type { TapMeasurement, TapOptions } from "../../measurement/index.ts";
import type { Context } from "../context.ts";
import type { NamedRecording, Sound } from "../engine.ts";
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
  WORKERS_OPTION,
  wholeWithin,
} from "../options.ts";
import { loadProfile } from "../profile.ts";
import { measureRecordings, threadsFor } from "../recordings.ts";
import { MOST_SOUND_BYTES, soundForReport } from "../report-sound.ts";
import { checkResults, deliverResults, type ResultFlags, type Results } from "../results.ts";
import type { CommandSpec } from "../spec.ts";

/** The options of `tap` as the parser hands them over; absent ones are undefined. */
interface TapFlags extends ResultFlags {
  label?: string;
  a4?: number;
  profile?: string;
  pin?: [name: string, frequencyHz: number][];
  ridges?: number;
  audio?: boolean;
  workers?: number;
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
      description:
        "ideal ratios to hold the partials against: minor-third, major-third, handbell, tubular, free-bar, thin-ring, or a JSON file of your own; without it the kind that clearly fits best, else minor-third",
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
    WORKERS_OPTION,
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
  const { paths, failures } = await expandInputs(args, cwd);
  checkResults(flags, paths, cwd);
  const profile = flags.profile === undefined ? null : await loadProfile(flags.profile, context);
  const options = await tapOptions(flags, paths, profile);

  let status: number = EXIT.measured;
  for (const failure of failures) status = worstStatus(status, await context.fail(failure));
  const threads = await threadsFor(paths, flags.workers, context);
  try {
    const measured = await measureRecordings(
      { paths, options, profile, threads, workers: flags.workers },
      context,
    );
    status = worstStatus(status, measured.status);
    if (measured.measurement === null) return status;
    await deliverResults(flags, resultsOf(measured.measurement, measured.first, flags, context), context);
    return status;
  } finally {
    await threads?.end();
  }
}

function resultsOf(
  m: TapMeasurement,
  first: () => Promise<NamedRecording>,
  flags: TapFlags,
  context: Context,
): Results {
  const { engine } = context;
  return {
    summary: () => engine.tapSummary(m, context),
    json: () => engine.tapJson(m),
    async html() {
      const sound = flags.audio === false ? null : await soundOf(m, await first(), context);
      return engine.tapHtml(m, sound, localTime(new Date()));
    },
  };
}

async function soundOf(
  m: TapMeasurement,
  { file, recording }: NamedRecording,
  context: Context,
): Promise<Sound> {
  const { channels, cut } = soundForReport(recording, m.strikes);
  if (cut) {
    const stretch = `${cut.fromS.toFixed(1)} to ${cut.toS.toFixed(1)} s`;
    await context.say(`${file} is long, so the report plays only its ${stretch}; --no-audio leaves it out`);
  }
  return {
    channels,
    sampleRateHz: recording.sampleRateHz,
    cut: cut && { ...cut, mostMiB: MOST_SOUND_BYTES / 2 ** 20 },
  };
}

/** As a reader's own clock shows it: "2026-05-01 12:00". */
function localTime(date: Date): string {
  const two = (n: number): string => String(n).padStart(2, "0");
  const day = `${date.getFullYear()}-${two(date.getMonth() + 1)}-${two(date.getDate())}`;
  return `${day} ${two(date.getHours())}:${two(date.getMinutes())}`;
}

/** @throws CliError where two pins name one partial, or one names none of the profile */
async function tapOptions(flags: TapFlags, paths: string[], profile: Profile | null): Promise<TapOptions> {
  const { DEFAULT_PROFILE_ID, partialByName, profileById, profileIds } = await import("../../bell/index.ts");
  const names = (flags.pin ?? []).map(([name]) => name);
  // Without a profile the pins may be of any kind that has them all.
  const { id, partials } =
    profile ??
    profileIds()
      .map(profileById)
      .find((known) => names.every((name) => partialByName(known.partials, name) >= 0)) ??
    profileById(DEFAULT_PROFILE_ID);
  const pins = new Map<string, number>();
  for (const [name, frequencyHz] of flags.pin ?? []) {
    if (partialByName(partials, name) < 0) {
      const names = partials.map((partial) => partial.name).join(", ");
      throw new CliError(`--pin names "${name}", which is no partial of the profile ${id}; it has ${names}`);
    }
    if (pins.has(name)) throw new CliError(`--pin names ${name} twice; keep one of them`);
    pins.set(name, frequencyHz);
  }
  const first = paths[0] ?? "";
  return {
    label: flags.label ?? (first === STDIN ? "standard input" : parse(first).name),
    a4Hz: flags.a4 ?? 440,
    profile: id,
    ridges: flags.ridges ?? null,
    pins: Object.fromEntries(pins),
  };
}
