import type { Forecast, ForecastRequest, Profile } from "../../shape/index.ts";
import type { Context } from "../context.ts";
import { CliError, explainError } from "../exit.ts";
import { openInput, shownName } from "../inputs.ts";
import { ledBy } from "../sentence.ts";
import { type ForecastFlags, harmonicsOf, lengthOf, metalOf, ridgesOf } from "./forecast-options.ts";
import { asMeasured, optional } from "./plan-options.ts";

export type Shape = typeof import("../../shape/index.ts");

/** Reads a profile, whatever form it has. @throws CliError that names the file and says what is wrong and where */
export async function readProfileFile(
  path: string,
  flags: ForecastFlags,
  context: Context,
): Promise<{ profile: Profile; request: ForecastRequest }> {
  const foundry = await import("../../foundry/index.ts");
  const shape: Shape = await import("../../shape/index.ts");
  const contraction = optional("--contraction", flags.contraction, foundry.parseContraction);
  const metal = metalOf(flags, foundry);
  const walls = optional("--walls", flags.walls, foundry.parsePercent);
  const ripples = ridgesOf(flags.ridges, foundry);
  const source = await openInput(path, context.io);
  const profile = named(path, () =>
    shape.readProfile(source.readAt(0, source.byteLength), {
      metresPerUnit: flags.unit === undefined ? null : foundry.metresPer(flags.unit),
      sizeOf: contraction === null ? null : contraction.value > 0 ? "pattern" : "casting",
    }),
  );
  const request: ForecastRequest = {
    file: shownName(path),
    profile,
    contraction: contraction === null ? { value: 0, ci95: 0 } : asMeasured(contraction),
    metal,
    ...(walls === null ? {} : { spread: shape.measuredWalls(walls.value) }),
    harmonics: flags.harmonics === undefined ? shape.USUAL_HARMONICS : harmonicsOf(flags.harmonics),
    each: shape.USUAL_EACH,
    heldCrownM: flags.heldCrown === undefined ? null : lengthOf("--held-crown", flags.heldCrown, foundry),
    ripples,
  };
  return { profile, request };
}

/** The forecast of a profile on disk. @throws CliError */
export async function forecastOf(
  path: string,
  flags: ForecastFlags,
  context: Context,
): Promise<{ forecast: Forecast; request: ForecastRequest; shape: Shape }> {
  const { request } = await readProfileFile(path, flags, context);
  const shape: Shape = await import("../../shape/index.ts");
  context.progress.showBeforeLongStep(`forecasting ${path}`);
  return { forecast: named(path, () => shape.forecast(request)), request, shape };
}

/** What is wrong with a file is told with its name. */
export function named<T>(path: string, make: () => T): T {
  try {
    return make();
  } catch (error) {
    if (error instanceof CliError) throw error;
    if (error instanceof Error && error.name === "InvalidPlanError")
      throw new CliError(`--unit: ${error.message}`);
    const { status, sentence } = explainError(error);
    if (error instanceof Error && error.name === "InvalidShapeError") {
      throw new CliError(ledBy(path, sentence), status);
    }
    throw error;
  }
}
