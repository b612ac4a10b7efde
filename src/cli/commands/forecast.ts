import type { Context } from "../context.ts";
import { EXIT } from "../exit.ts";
import { checkResults } from "../results.ts";
import type { CommandSpec } from "../spec.ts";
import { deliverForecast } from "./forecast-deliver.ts";
import { forecastDesign } from "./forecast-design.ts";
import { BODY_OPTIONS, type ForecastFlags, PROFILE_ARGUMENT, RESULT_OPTIONS } from "./forecast-options.ts";
import { forecastOf } from "./forecast-request.ts";
import { forecastTune } from "./forecast-tune.ts";

export const forecast: CommandSpec = {
  name: "forecast",
  summary: "the partials of a bell from its profile, before it is cast, and where to cut it after",
  arguments: [PROFILE_ARGUMENT],
  options: [...BODY_OPTIONS, ...RESULT_OPTIONS],
  examples: [
    "ringwright forecast bell.csv --alloy Cu80Sn20",
    "ringwright forecast pattern.stl --unit mm --contraction 1.5%",
    "ringwright forecast bell.csv --young 97GPa --density 8700kg/m3 --poisson 0.34 --json forecast.json",
  ],
  note: "A CSV has the header wall,r_mm,z_mm; each wall, outer and inner, runs from the crown to the lip.",
  subcommands: [forecastDesign, forecastTune],
  act: ({ args, flags, context }) => act(args[0]!, flags as ForecastFlags, context),
};

async function act(path: string, flags: ForecastFlags, context: Context): Promise<number> {
  checkResults(flags, [path], context.io.cwd);
  const { forecast: made } = await forecastOf(path, flags, context);
  await deliverForecast(made.result, made, flags, context);
  return EXIT.measured;
}
