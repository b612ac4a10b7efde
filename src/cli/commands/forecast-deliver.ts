import { version } from "../../../package.json";
import type { Forecast, ForecastDocument } from "../../shape/index.ts";
import type { Context } from "../context.ts";
import { deliverResults } from "../results.ts";
import type { ForecastFlags } from "./forecast-options.ts";

/** Writes the files asked for, then prints the forecast. */
export async function deliverForecast(
  result: Omit<ForecastDocument, "schema" | "tool">,
  _forecast: Forecast,
  flags: ForecastFlags,
  context: Context,
): Promise<void> {
  const { FORECAST_SCHEMA } = await import("../../shape/index.ts");
  const document: ForecastDocument = {
    schema: FORECAST_SCHEMA,
    tool: { name: "ringwright", version },
    ...result,
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
}
