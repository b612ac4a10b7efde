import type { Estimate, TapMeasurement } from "../../measurement/index.ts";
import type { Context } from "../context.ts";
import { CliError, EXIT } from "../exit.ts";
import { loadProfile } from "../profile.ts";
import { checkResults } from "../results.ts";
import type { CommandSpec } from "../spec.ts";
import { deliverForecast } from "./forecast-deliver.ts";
import {
  BODY_OPTIONS,
  type ForecastFlags,
  lengthOf,
  ONLY_OPTION,
  PROFILE_ARGUMENT,
  RESULT_OPTIONS,
  wallsOf,
} from "./forecast-options.ts";
import { forecastOf, named } from "./forecast-request.ts";
import { readMeasuredBell } from "./plan-measurement.ts";
import { textOption } from "./plan-options.ts";

interface TuneFlags extends ForecastFlags {
  measured?: string;
  ratios?: string;
  only?: string;
  max?: string;
  leastMetal?: boolean;
}

export const forecastTune: CommandSpec = {
  name: "tune",
  summary: "where to cut a measured casting so that its partials come to their ratios",
  arguments: [PROFILE_ARGUMENT],
  options: [
    {
      ...textOption("measured", "FILE", "the casting as it sounds now: JSON saved by tap, or a recording"),
      completes: "file",
    },
    textOption("ratios", "ID|FILE", "the ratios it should have (default: minor-third)"),
    ONLY_OPTION,
    textOption("max", "LENGTH", "no cut deeper than this in all, as in 1.5mm (default: 15 % of the wall)"),
    {
      name: "least-metal",
      value: null,
      description: "take as little metal as can be, in fewer and deeper places (default: the smoothest cut)",
      completes: null,
    },
    ...BODY_OPTIONS,
    ...RESULT_OPTIONS,
  ],
  examples: [
    "ringwright forecast tune bell.csv --measured bell.json",
    "ringwright forecast tune bell.csv --measured bell.json --only inner --max 1.5mm --json cut.json",
  ],
  note: "A lathe or a grinder can injure: local codes and licensed practice come first. Metal does not go back on: cut one pass, measure again, and run this again.",
  act: ({ args, flags, context }) => act(args[0]!, flags as TuneFlags, context),
};

async function act(path: string, flags: TuneFlags, context: Context): Promise<number> {
  if (flags.measured === undefined) {
    throw new CliError("--measured is needed, for example --measured bell.json; tap writes such a file");
  }
  checkResults(flags, [path, flags.measured], context.io.cwd);
  const foundry = await import("../../foundry/index.ts");
  const walls = wallsOf(flags.only);
  const mostM = flags.max === undefined ? null : lengthOf("--max", flags.max, foundry);
  const ratios = await loadProfile(flags.ratios, context);
  const measured = measuredPartials(await readMeasuredBell(flags.measured, 440, context));
  const { forecast, shape } = await forecastOf(path, flags, context);
  const tuned = named(path, () =>
    shape.tune({
      forecast,
      ratios,
      measured,
      walls,
      mostM,
      aim: flags.leastMetal === true ? "least metal" : "smoothest",
    }),
  );
  await deliverForecast({ ...forecast.result, tune: tuned }, forecast, flags, context);
  return EXIT.measured;
}

/** Named partials by their names. */
export function measuredPartials({ partials }: TapMeasurement): Map<string, Estimate> {
  return new Map(partials.flatMap(({ name, frequencyHz }) => (name === null ? [] : [[name, frequencyHz]])));
}
