import type { Profile } from "../../shape/index.ts";
import type { Context } from "../context.ts";
import { CliError, EXIT } from "../exit.ts";
import { A4_OPTION } from "../options.ts";
import { checkOutputs, writeOutput } from "../outputs.ts";
import { loadProfile } from "../profile.ts";
import { checkResults } from "../results.ts";
import type { CommandSpec, OptionSpec } from "../spec.ts";
import { deliverForecast } from "./forecast-deliver.ts";
import {
  BODY_OPTIONS,
  type ForecastFlags,
  ONLY_OPTION,
  PROFILE_ARGUMENT,
  RESULT_OPTIONS,
  wallsOf,
} from "./forecast-options.ts";
import { forecastOf, named, type Shape } from "./forecast-request.ts";
import { optional, textOption } from "./plan-options.ts";

interface DesignFlags extends ForecastFlags {
  ratios?: string;
  note?: string;
  a4?: number;
  only?: string;
  change?: string;
  patternFor?: string;
  drawing?: string;
}

const DRAWING_OPTIONS: OptionSpec[] = [
  {
    name: "drawing",
    value: "FILE",
    description: "write the new profile: .csv, .svg, .dxf or .stl by its ending",
    completes: "file",
  },
  textOption(
    "pattern-for",
    "PERCENT",
    "the drawing at the pattern's size, larger by this contraction, as in 1.5% (default: the casting's)",
  ),
];

export const forecastDesign: CommandSpec = {
  name: "design",
  summary: "change a profile so that its partials reach wanted ratios and a note",
  arguments: [PROFILE_ARGUMENT],
  options: [
    textOption("ratios", "ID|FILE", "the ratios it should have, as in minor-third or major-third"),
    textOption("note", "NOTE", "the note it should sound, as in C6 (default: its size stays)"),
    A4_OPTION,
    { ...ONLY_OPTION, description: "change this wall alone: inner, outer or both (default: both)" },
    textOption("change", "PERCENT", "no wall changes by more than this part of itself (default: 40%)"),
    ...DRAWING_OPTIONS,
    ...BODY_OPTIONS,
    ...RESULT_OPTIONS,
  ],
  examples: [
    "ringwright forecast design bell.csv --ratios minor-third --note C5 --drawing new.csv",
    "ringwright forecast design bell.csv --ratios major-third --change 50% --drawing template.dxf --pattern-for 1.5%",
  ],
  note: "The drawing is computed, not cast: pour one, measure it, and forecast the next with it.",
  act: ({ args, flags, context }) => act(args[0]!, flags as DesignFlags, context),
};

async function act(path: string, flags: DesignFlags, context: Context): Promise<number> {
  if (flags.ratios === undefined) {
    throw new CliError("--ratios is needed, for example --ratios minor-third");
  }
  checkResults(flags, [path], context.io.cwd);
  const { cwd } = context.io;
  const force = flags.force === true;
  const drawing = flags.drawing === undefined ? [] : [{ option: "--drawing", path: flags.drawing }];
  checkOutputs(drawing, { cwd, force, inputs: [path] });
  const foundry = await import("../../foundry/index.ts");
  const ratios = await loadProfile(flags.ratios, context);
  const change = optional("--change", flags.change, foundry.parsePercent)?.value ?? 0.4;
  const pattern = optional("--pattern-for", flags.patternFor, foundry.parseContraction);
  const walls = wallsOf(flags.only ?? "both");
  const noteHz = await noteOf(flags);
  const { forecast, request, shape } = await forecastOf(path, flags, context);
  const write = flags.drawing === undefined ? null : writerOf(flags.drawing, shape);
  context.progress.show(`designing from ${path}`);
  const { profile, result } = named("--change", () =>
    shape.design({ ...forecast, ratios, walls, mostOfWall: shape.checkedBound(change), noteHz }),
  );
  const designed = named(path, () => shape.forecast({ ...request, profile }));
  if (write !== null) {
    const scale = 1 + (pattern?.value ?? 0);
    await writeOutput(flags.drawing!, write(shape.scaledProfile(profile, scale)), { cwd, force });
  }
  await deliverForecast({ ...designed.result, design: result }, designed, flags, context);
  return EXIT.measured;
}

async function noteOf({ note, a4 }: DesignFlags): Promise<number | null> {
  if (note === undefined) return null;
  const { noteToHz } = await import("../../bell/index.ts");
  try {
    return noteToHz(note, a4 ?? 440);
  } catch (error) {
    throw error instanceof RangeError ? new CliError(`--note: ${error.message}`) : error;
  }
}

/** By the ending of the file. @throws CliError */
function writerOf(path: string, shape: Shape): (profile: Profile) => string | Uint8Array {
  const writers: Record<string, (profile: Profile) => string | Uint8Array> = {
    csv: shape.profileCsv,
    svg: shape.profileSvg,
    dxf: shape.profileDxf,
    stl: shape.profileStl,
  };
  const ending = /\.([a-z]+)$/i.exec(path)?.[1]?.toLowerCase() ?? "";
  const writer = Object.hasOwn(writers, ending) ? writers[ending] : undefined;
  if (writer !== undefined) return writer;
  throw new CliError(
    `--drawing ${path}: the ending must be ${Object.keys(writers).join(", ")}; name the file so`,
  );
}
