import type { CastingToCompare, Comparison } from "../../compare/index.ts";
import type { TapMeasurement } from "../../measurement/index.ts";
import type { Context } from "../context.ts";
import { CliError, EXIT, worstStatus } from "../exit.ts";
import {
  A4_OPTION,
  FORCE_OPTION,
  HTML_OPTION,
  JSON_OPTION,
  LABEL_OPTION,
  QUIET_OPTION,
  WORKERS_OPTION,
} from "../options.ts";
import { loadProfile } from "../profile.ts";
import { readReportScripts } from "../report-scripts.ts";
import { checkResults, deliverResults, type ResultFlags } from "../results.ts";
import type { CommandSpec, OptionSpec } from "../spec.ts";
import {
  type CastingFiles,
  digestOf,
  filesOfCasting,
  measureCasting,
  type Settings,
  threadsForCastings,
  usualLabel,
} from "./compare-castings.ts";
import { asMeasured, type Foundry, readAs, textOption } from "./plan-options.ts";

interface CompareFlags extends ResultFlags {
  label?: string[];
  alloy?: string[];
  mass?: string[];
  diameter?: string[];
  reference?: string;
  a4?: number;
  profile?: string;
  demo?: boolean;
  workers?: number;
}

/** Stands for "not known" where options are given in the order of the castings. */
const NOT_KNOWN = "-";

const perCasting = (name: string, value: string, description: string): OptionSpec =>
  textOption(name, value, `${description}; repeat in the order of the castings, - where not known`, true);

export const compare: CommandSpec = {
  name: "compare",
  summary: "set castings side by side: what changed, and was it metal or shape",
  arguments: [
    {
      name: "CASTING",
      description:
        "each argument is one casting: a recording, several between commas, a quoted pattern, a folder, or JSON saved by tap",
      completes: "file",
      repeatable: true,
      optional: true,
    },
  ],
  options: [
    HTML_OPTION,
    JSON_OPTION,
    FORCE_OPTION,
    {
      ...LABEL_OPTION,
      description:
        "what you call a casting (default: its file or folder); repeat in the order of the castings",
      repeatable: true,
    },
    perCasting("alloy", "ALLOY", "what it is cast in, in mass per cent, as in Cu80Sn20"),
    perCasting("mass", "MASS", "what it weighs, as in 4.2kg or 9.3lb"),
    perCasting("diameter", "LENGTH", "its mouth, as in 180mm or 7.1in"),
    textOption("reference", "CASTING", "hold the others against this one: its label or number (default: 1)"),
    A4_OPTION,
    {
      name: "profile",
      value: "PROFILE",
      description: "ideal ratios to name the partials by, as in tap",
      completes: "file",
    },
    {
      name: "demo",
      value: null,
      description: "compare two invented castings, computed for the purpose, instead of your own",
      completes: null,
    },
    WORKERS_OPTION,
    QUIET_OPTION,
  ],
  examples: [
    "ringwright compare heat1.wav heat2.wav --alloy Cu90Sn10 --alloy Cu80Sn20",
    "ringwright compare 'heat1-*.wav' 'heat2-*.wav' --html compare.html",
    "ringwright compare heat1/ heat2/ heat3/ --reference 2",
    "ringwright compare --demo --html demo.html",
  ],
  note: "Quote a pattern: unquoted, the shell makes each file a casting of its own. Strike each casting two or three times,\nat one marked place with one rod, so that a change can be told from the spread between strikes.\nA bell struck at arm's length can reach levels that harm hearing: wear ear protection, stand back.",
  act: ({ args, flags, context }) => act(args, flags as CompareFlags, context),
};

type Told = Omit<CastingToCompare, "measurement">;

async function act(args: string[], flags: CompareFlags, context: Context): Promise<number> {
  if (flags.demo === true) return await demonstrate(args, flags, context);
  if (args.length < 2) {
    throw new CliError(
      "compare takes two castings or more, as in ringwright compare heat1.wav heat2.wav; --demo shows two invented ones",
    );
  }
  const { MOST_CASTINGS } = await import("../../compare/index.ts");
  if (args.length > MOST_CASTINGS) {
    throw new CliError(
      `${args.length} castings are too many (at most ${MOST_CASTINGS}); quote a pattern to make its files one casting`,
    );
  }
  const files: CastingFiles[] = [];
  for (const argument of args) files.push(await filesOfCasting(argument, context.io.cwd));
  checkResults(
    flags,
    files.flatMap(({ paths }) => paths),
    context.io.cwd,
  );
  const told = await toldOf(files, flags);
  const reference = referenceOf(flags.reference, told);
  const profile = await loadProfile(flags.profile, context);
  const threads = await threadsForCastings(files, flags.workers, context);
  const settings = { a4Hz: flags.a4 ?? 440, profile, threads, workers: flags.workers };
  try {
    return await measureAndCompare(files, told, reference, settings, flags, context);
  } finally {
    await threads?.end();
  }
}

async function measureAndCompare(
  files: CastingFiles[],
  told: Told[],
  reference: number,
  settings: Settings,
  flags: CompareFlags,
  context: Context,
): Promise<number> {
  let status: number = EXIT.measured;
  const castings: CastingToCompare[] = [];
  let at = 0;
  for (const [i, each] of files.entries()) {
    const { measurement, status: met } = await measureCasting(each, told[i].label, settings, context);
    status = worstStatus(status, met);
    if (measurement !== null) {
      if (i === reference) at = castings.length;
      // A saved measurement brings the name that it was given when it was made.
      const given = (flags.label?.[i] ?? NOT_KNOWN) !== NOT_KNOWN;
      const label = given ? told[i].label : measurement.options.label || told[i].label;
      castings.push({ ...told[i], label, measurement });
    } else if (i === reference || files.length === 2) {
      await context.say("without it there is nothing to compare with");
      return status;
    }
  }
  if (castings.length < 2) return status;
  await sayTwins(castings, context);
  await deliver(castings, at, null, flags, context);
  return status;
}

/** What the options say of each casting. @throws CliError */
async function toldOf(files: readonly CastingFiles[], flags: CompareFlags): Promise<Told[]> {
  for (const name of ["label", "alloy", "mass", "diameter"] as const) {
    const given = flags[name]?.length ?? 0;
    if (given > files.length) {
      throw new CliError(`--${name} is given ${given} times for ${files.length} castings; keep one for each`);
    }
  }
  const foundry: Foundry = await import("../../foundry/index.ts");
  const known = (texts: string[] | undefined, i: number): string | null => {
    const text = texts?.[i];
    return text === undefined || text === NOT_KNOWN ? null : text;
  };
  const read = <T>(option: string, text: string | null, reader: (text: string) => T): T | null =>
    text === null ? null : readAs(option, () => reader(text));
  return files.map((each, i) => ({
    label: known(flags.label, i) ?? usualLabel(each),
    alloy: read("--alloy", known(flags.alloy, i), (text) =>
      foundry.formatComposition(foundry.parseComposition(text)),
    ),
    massKg: read("--mass", known(flags.mass, i), (text) => asMeasured(foundry.parseMassKg(text))),
    diameterM: read("--diameter", known(flags.diameter, i), (text) => asMeasured(foundry.parseLengthM(text))),
  }));
}

/** Index of the casting that the others are held against. @throws CliError */
function referenceOf(text: string | undefined, told: readonly Told[]): number {
  if (text === undefined) return 0;
  const labelled = told.findIndex(({ label }) => label === text);
  if (labelled >= 0) return labelled;
  const number = /^\d+$/.test(text) ? Number(text) : 0;
  if (number >= 1 && number <= told.length) return number - 1;
  throw new CliError(
    `--reference takes a casting's label or its number from 1 to ${told.length}, not "${text}"; labels are ${told.map(({ label }) => label).join(", ")}`,
  );
}

/** One measurement given twice changes nothing, which is no finding. */
async function sayTwins(castings: readonly CastingToCompare[], context: Context): Promise<void> {
  const seen = new Map<string, number>();
  for (const [i, { label, measurement }] of castings.entries()) {
    const digest = digestOf(measurement);
    const twin = seen.get(digest);
    if (twin === undefined) seen.set(digest, i);
    else await context.say(`casting ${i + 1} (${label}) is the same measurement as casting ${twin + 1}`);
  }
}

/** Two invented castings, computed, measured and compared by the same steps as real ones. */
async function demonstrate(args: string[], flags: CompareFlags, context: Context): Promise<number> {
  if (args.length > 0) {
    throw new CliError("--demo compares invented castings, so leave out your own, or leave out --demo");
  }
  checkResults(flags, [], context.io.cwd);
  const { demoCastings } = await import("../../compare/index.ts");
  const { scenario, castings } = demoCastings();
  const profile = await loadProfile(flags.profile, context);
  const measured: CastingToCompare[] = [];
  for (const { file, sampleRateHz, samples, ...facts } of castings) {
    context.progress.show(`measuring ${facts.label}`);
    const recording = {
      format: "computed",
      lossy: false,
      sampleRateHz,
      bits: null,
      channels: [samples],
      warnings: [],
    };
    const options = {
      label: facts.label,
      a4Hz: flags.a4 ?? 440,
      profile: profile.id,
      ridges: null,
      pins: {},
    };
    const measurement = await context.engine.measureTap([{ file, recording }], options, profile);
    measured.push({ ...facts, measurement });
  }
  await deliver(measured, referenceOf(flags.reference, measured), scenario, flags, context);
  return EXIT.measured;
}

async function deliver(
  castings: readonly CastingToCompare[],
  reference: number,
  scenario: string | null,
  flags: CompareFlags,
  context: Context,
): Promise<void> {
  const { compareCastings, writeCompareJson } = await import("../../compare/index.ts");
  const comparison: Comparison = compareCastings(castings, reference, scenario);
  const measurements: TapMeasurement[] = castings.map(({ measurement }) => measurement);
  const report = () => import("../../report/index.ts");
  await deliverResults(
    flags,
    {
      json: async () => writeCompareJson(comparison),
      summary: async () => (await report()).terminalCompare(comparison, context),
      html: async () =>
        (await report()).htmlCompare(comparison, measurements, {
          ...(await readReportScripts()),
          generatedAt: localTime(new Date()),
        }),
    },
    context,
  );
}

/** As a reader's own clock shows it: "2026-05-01 12:00". */
function localTime(date: Date): string {
  const two = (n: number): string => String(n).padStart(2, "0");
  const day = `${date.getFullYear()}-${two(date.getMonth() + 1)}-${two(date.getDate())}`;
  return `${day} ${two(date.getHours())}:${two(date.getMinutes())}`;
}
