import { resolve } from "node:path";
import { version } from "../../../package.json";
import type { Profile } from "../../bell/index.ts";
import type { SeriesFile, SeriesResult, TemperatureCorrection } from "../../series/index.ts";
import type { Context } from "../context.ts";
import { EXIT, worstStatus } from "../exit.ts";
import {
  FORCE_OPTION,
  HTML_OPTION,
  JSON_OPTION,
  numberWithin,
  QUIET_OPTION,
  WORKERS_OPTION,
} from "../options.ts";
import { loadProfile } from "../profile.ts";
import { readReportScripts } from "../report-scripts.ts";
import { checkResults, deliverResults, type ResultFlags } from "../results.ts";
import { ledBy } from "../sentence.ts";
import type { CommandSpec } from "../spec.ts";
import { profilePath, seriesAdd } from "./series-add.ts";
import { openSeries } from "./series-file.ts";
import { seriesInit } from "./series-init.ts";
import { type MeasuredSeries, measureSeries } from "./series-measure.ts";
import { checkTapReports, tapLinks, tapReportPaths, writeTapReports } from "./series-tap-reports.ts";

interface SeriesFlags extends ResultFlags {
  workers?: number;
  temperature?: number;
  tapReports?: string;
}

export const series: CommandSpec = {
  name: "series",
  summary: "a set of bells, or one bell through its tuning passes, from a series file",
  arguments: [
    {
      name: "FILE",
      description: "the series file, YAML or JSON; series init writes one to begin with",
      completes: "file",
    },
  ],
  options: [
    HTML_OPTION,
    JSON_OPTION,
    {
      name: "csv",
      value: "FILE",
      description: "write a table for spreadsheets (- for standard output)",
      completes: "file",
    },
    {
      name: "tap-reports",
      value: "FOLDER",
      description: "write a tap report of every pass into this folder; --html links to them",
      completes: "file",
    },
    {
      name: "temperature",
      value: "CELSIUS",
      description: "bring every pass that tells metalC to this temperature (default: nothing is corrected)",
      completes: null,
      parse: (text) => numberWithin(text, "--temperature", -50, 100, "degrees Celsius"),
    },
    WORKERS_OPTION,
    FORCE_OPTION,
    QUIET_OPTION,
  ],
  examples: [
    "ringwright series init my-row.yaml",
    "ringwright series my-row.yaml --html my-row.html --tap-reports taps",
    "ringwright series add my-row.yaml first first-2.wav --removed-g 8 --at 'inner lip'",
  ],
  note: "Taking metal off on a lathe or with a grinder can injure: local codes and licensed practice come first.",
  subcommands: [seriesInit, seriesAdd],
  act: ({ args, flags, context }) => act(args[0]!, flags as SeriesFlags, context),
};

async function act(path: string, flags: SeriesFlags, context: Context): Promise<number> {
  const { cwd } = context.io;
  const force = flags.force === true;
  const { file, folder } = await openSeries(path, context);
  const recordings = file.bells.flatMap(({ passes }) => passes.flatMap((pass) => pass.recordings));
  checkResults(flags, [path, ...recordings.map((name) => resolve(folder, name))], cwd);
  const paths = flags.tapReports === undefined ? null : tapReportPaths(flags.tapReports, file, cwd);
  if (paths !== null) checkTapReports(flags.tapReports!, paths, force, cwd);
  const profile = await loadProfile(profilePath(file.profile, folder), context);

  const measured = await measureSeries(file, profile, folder, flags.workers ?? null, context);
  const generatedAt = today(new Date());
  let { failed } = measured;
  if (measured.passes.flat().some(({ measurement }) => measurement !== null)) {
    const result = await analyse(file, profile, measured, flags.temperature, context);
    failed = result.failed;
    if (paths !== null) await writeTapReports(paths, measured, force, generatedAt, context);
    const report = () => import("../../report/index.ts");
    await deliverResults(
      flags,
      {
        json: async () => `${JSON.stringify(result, null, 2)}\n`,
        csv: async () => (await report()).seriesCsv(result),
        html: async () =>
          (await report()).htmlSeries(result, {
            ...(await readReportScripts()),
            tapLink: tapLinks(paths, flags.html, cwd),
            generatedAt,
          }),
        summary: async () => (await report()).terminalSeries(result, context),
      },
      context,
    );
  }
  for (const { recording, reason } of failed) await context.say(ledBy(recording, reason));
  // Heard, but nothing in it that the series could use.
  const unnamed = failed.length > measured.failed.length;
  return worstStatus(measured.status, unnamed ? EXIT.notMeasurable : EXIT.measured);
}

async function analyse(
  file: SeriesFile,
  profile: Profile,
  measured: MeasuredSeries,
  toC: number | undefined,
  context: Context,
): Promise<SeriesResult> {
  context.progress.show("working out what the cuts did");
  const { analyseSeries } = await import("../../series/index.ts");
  const { METHOD } = await import("../../tap/index.ts");
  return analyseSeries({
    file,
    profile,
    measured: measured.passes.map((passes) => passes.map(({ measurement }) => measurement)),
    failed: measured.failed,
    tool: { version, method: METHOD },
    temperature: toC === undefined ? null : await correctionTo(toC),
  });
}

async function correctionTo(toC: number): Promise<TemperatureCorrection> {
  const { TEMPERATURE_SOURCE, temperatureCoefficientPerK } = await import("../../foundry/index.ts");
  return { toC, coefficientPerK: temperatureCoefficientPerK(), source: TEMPERATURE_SOURCE };
}

/** "2026-05-01" by the reader's own calendar. */
function today(date: Date): string {
  const two = (n: number): string => String(n).padStart(2, "0");
  return `${date.getFullYear()}-${two(date.getMonth() + 1)}-${two(date.getDate())}`;
}
