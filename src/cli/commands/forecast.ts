import type { Context } from "../context.ts";
import { CliError, EXIT } from "../exit.ts";
import { checkResults } from "../results.ts";
import type { CommandSpec } from "../spec.ts";
import { deliverForecast } from "./forecast-deliver.ts";
import { forecastDesign } from "./forecast-design.ts";
import { BODY_OPTIONS, type ForecastFlags, PROFILE_ARGUMENT, RESULT_OPTIONS } from "./forecast-options.ts";
import { forecastOf, named } from "./forecast-request.ts";
import { forecastTune, measuredPartials } from "./forecast-tune.ts";
import { readMeasuredBell } from "./plan-measurement.ts";
import { asMeasured, optional, textOption } from "./plan-options.ts";

export const forecast: CommandSpec = {
  name: "forecast",
  summary: "the partials of a bell from its profile, before it is cast, and where to cut it after",
  arguments: [PROFILE_ARGUMENT],
  options: [
    ...BODY_OPTIONS,
    {
      ...textOption("casting", "FILE", "a measured casting of the same pattern and metal: JSON saved by tap"),
      completes: "file",
    },
    textOption("mass", "MASS", "what that casting weighs, as in 1.24kg"),
    ...RESULT_OPTIONS,
  ],
  examples: [
    "ringwright forecast bell.csv --alloy Cu80Sn20",
    "ringwright forecast pattern.stl --unit mm --contraction 1.5%",
    "ringwright forecast bell.csv --young 97GPa --density 8700kg/m3 --poisson 0.34 --json forecast.json",
  ],
  note: "A CSV has the header wall,r_mm,z_mm; each wall, outer and inner, runs from the crown to the lip.",
  subcommands: [forecastDesign, forecastTune],
  act: ({ args, flags, context }) => act(args[0]!, flags as CalibrationFlags, context),
};

interface CalibrationFlags extends ForecastFlags {
  casting?: string;
  mass?: string;
}

async function act(path: string, flags: CalibrationFlags, context: Context): Promise<number> {
  checkResults(flags, [path, ...(flags.casting === undefined ? [] : [flags.casting])], context.io.cwd);
  const casting = await castingOf(flags, context);
  const { forecast: made, shape } = await forecastOf(path, flags, context);
  const result =
    casting === null ? made.result : named(flags.casting!, () => shape.calibrated(made, casting));
  await deliverForecast(result, made, flags, context);
  return EXIT.measured;
}

/** The measured casting that the forecast is calibrated on. @throws CliError */
async function castingOf({ casting, mass }: CalibrationFlags, context: Context) {
  if (casting === undefined) {
    if (mass !== undefined)
      throw new CliError("--mass is that of a measured casting; give it with --casting");
    return null;
  }
  const foundry = await import("../../foundry/index.ts");
  const massKg = optional("--mass", mass, (text) => asMeasured(foundry.parseMassKg(text)));
  const measurement = await readMeasuredBell(casting, 440, context);
  return { label: measurement.options.label, partials: measuredPartials(measurement), massKg };
}
