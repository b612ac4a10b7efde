import { existsSync } from "node:fs";
import { readFile } from "node:fs/promises";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { CliError, EXIT } from "./exit.ts";

/** The texts that an HTML report carries: chart.js, and the client that draws and plays. */
export interface ReportScripts {
  chartJsSource: string;
  script: string;
}

/** Reads both as the build left them: beside the built program, or in `dist/` for the source tree. */
export async function readReportScripts(): Promise<ReportScripts> {
  const folder = findFolder(dirname(fileURLToPath(import.meta.url)));
  const [chartJsSource, script] = await Promise.all([
    readFile(join(folder, "chart.js"), "utf8"),
    readFile(join(folder, "client.js"), "utf8"),
  ]);
  return { chartJsSource, script };
}

function findFolder(start: string): string {
  for (let at = start; ; at = dirname(at)) {
    const places = [join(at, "report-scripts"), join(at, "dist", "report-scripts")];
    const found = places.find((place) => existsSync(place));
    if (found !== undefined) return found;
    if (at === dirname(at)) {
      throw new CliError("the scripts of the report are not built; run npm run build first", EXIT.fault);
    }
  }
}
