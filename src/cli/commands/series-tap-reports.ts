import { existsSync, statSync } from "node:fs";
import { mkdir } from "node:fs/promises";
import { dirname, relative, resolve } from "node:path";
import type { SeriesFile } from "../../series/index.ts";
import type { Context } from "../context.ts";
import { CliError } from "../exit.ts";
import { STDOUT, unwritable, writeOutput } from "../outputs.ts";
import type { MeasuredSeries } from "./series-measure.ts";

/** Where the tap report of each pass of each bell goes: absolute paths. */
export type TapReportPaths = string[][];

/** "02-second-pass-1.html": plain letters that every system and every link takes. */
export function tapReportPaths(folder: string, { bells }: SeriesFile, cwd: string): TapReportPaths {
  return bells.map(({ name, passes }, b) => {
    const word = name
      .normalize("NFKD")
      .replace(/[^A-Za-z0-9]+/g, "-")
      .replace(/^-+|-+$/g, "")
      .slice(0, 40)
      .toLowerCase();
    const number = String(b + 1).padStart(2, "0");
    return passes.map((_, p) =>
      resolve(cwd, folder, `${[number, word, `pass-${p + 1}`].filter((part) => part !== "").join("-")}.html`),
    );
  });
}

/** Refuses before any work what must not be replaced. @throws CliError */
export function checkTapReports(folder: string, paths: TapReportPaths, force: boolean, cwd: string): void {
  if (statSync(resolve(cwd, folder), { throwIfNoEntry: false })?.isFile()) {
    throw new CliError(`--tap-reports ${folder} is a file; name a folder`);
  }
  const there = force ? undefined : paths.flat().find((path) => existsSync(path));
  if (there !== undefined) {
    throw new CliError(
      `${relative(cwd, there)} is already there; add --force to replace it, or name another folder`,
    );
  }
}

export async function writeTapReports(
  paths: TapReportPaths,
  measured: MeasuredSeries,
  force: boolean,
  generatedAt: string,
  context: Context,
): Promise<void> {
  const { cwd } = context.io;
  for (const [b, passes] of measured.passes.entries()) {
    for (const [p, { measurement }] of passes.entries()) {
      if (measurement === null) continue;
      const path = paths[b]![p]!;
      const folder = dirname(path);
      await mkdir(folder, { recursive: true }).catch((error) => {
        throw unwritable(relative(cwd, folder), error);
      });
      context.progress.show(`writing ${relative(cwd, path)}`);
      await writeOutput(path, await context.engine.tapHtml(measurement, null, generatedAt), { cwd, force });
    }
  }
}

/** Links from a report at `html` to the tap reports, as an address in a page writes them. */
export function tapLinks(
  paths: TapReportPaths | null,
  html: string | undefined,
  cwd: string,
): (bell: number, pass: number) => string | null {
  if (paths === null || html === undefined || html === STDOUT) return () => null;
  const from = dirname(resolve(cwd, html));
  return (bell, pass) =>
    relative(from, paths[bell]![pass]!)
      .split(/[\\/]/)
      .map((part) => (part === ".." ? part : encodeURIComponent(part)))
      .join("/");
}
