import { version } from "../../../package.json";
import type { ForecastDocument } from "../../shape/index.ts";
import type { Context } from "../context.ts";
import { EXIT } from "../exit.ts";
import { checkResults, deliverResults } from "../results.ts";
import type { CommandSpec } from "../spec.ts";
import { BODY_OPTIONS, type ForecastFlags, PROFILE_ARGUMENT, RESULT_OPTIONS } from "./forecast-options.ts";
import { forecastOf } from "./forecast-request.ts";

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
  act: ({ args, flags, context }) => act(args[0]!, flags as ForecastFlags, context),
};

async function act(path: string, flags: ForecastFlags, context: Context): Promise<number> {
  checkResults(flags, [path], context.io.cwd);
  const { forecast: made, shape } = await forecastOf(path, flags, context);
  const document: ForecastDocument = {
    schema: shape.FORECAST_SCHEMA,
    tool: { name: "ringwright", version },
    ...made.result,
  };
  const report = () => import("../../report/index.ts");
  await deliverResults(
    flags,
    {
      json: async () => `${JSON.stringify(document, null, 2)}\n`,
      summary: async () => (await report()).terminalForecast(document, context),
    },
    context,
  );
  return EXIT.measured;
}
