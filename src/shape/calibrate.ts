import type { Estimate } from "../measurement/index.ts";
import { InvalidShapeError } from "./error.ts";
import { type Forecast, frequencyAndRatio } from "./forecast.ts";
import type { Calibration, ForecastResult } from "./result.ts";
import { CENTS_PER_NEPER } from "./sensitivity.ts";
import { SD_TO_CI95 } from "./spread.ts";
import { type Knowledge, massRelativeCi95 } from "./uncertainty.ts";
import { posterior } from "./update.ts";

/** A casting of the same pattern in the same metal, as measured. */
export interface MeasuredCasting {
  readonly label: string;
  /** By the names that modes have. */
  readonly partials: ReadonlyMap<string, Estimate>;
  readonly massKg: Estimate | null;
}

/**
 * The forecast of the next casting of a pattern from one that was measured: what both have in common (metal, pattern) is
 * fitted, what differs from casting to casting is not.
 *
 * @throws InvalidShapeError where the measurement names no partial that was computed
 */
export function calibrated(forecast: Forecast, casting: MeasuredCasting): ForecastResult {
  const { result, knowledge } = forecast;
  const { causes } = knowledge;
  const seen = result.modes.flatMap(({ name, frequencyHz }, mode) => {
    const measuredHz = name === null ? undefined : casting.partials.get(name);
    if (measuredHz === undefined) return [];
    const beforeCents = CENTS_PER_NEPER * Math.log(measuredHz.value / frequencyHz.value);
    return [{ mode, measuredHz, beforeCents }];
  });
  if (seen.length === 0) {
    throw new InvalidShapeError(
      "the measured casting names no partial that was computed; pin them with --pin when measuring",
    );
  }
  const { massKg } = casting;
  const rows = [
    ...seen.map(({ mode }) => causes.map(({ cents }) => cents[mode]!)),
    ...(massKg === null ? [] : [causes.map(({ logMass }) => logMass)]),
  ];
  const { mean, covariance } = posterior(
    causes.length,
    rows,
    [
      ...seen.map(({ measuredHz: { value, ci95 } }) => ((CENTS_PER_NEPER * ci95) / value / SD_TO_CI95) ** 2),
      ...(massKg === null ? [] : [(massKg.ci95 / massKg.value / SD_TO_CI95) ** 2]),
    ],
    [
      ...seen.map(({ beforeCents }) => beforeCents),
      ...(massKg === null ? [] : [Math.log(massKg.value / result.massKg.value)]),
    ],
  );
  const left = seen.map(({ beforeCents }, i) => beforeCents - weighed(rows[i]!, mean));
  const elastic = causes.map(({ id, cents }) => (id === "young" || id === "density" ? cents[0]! : 0));
  const next = nextCasting(knowledge, mean, covariance);
  const hz = result.modes.map(
    ({ frequencyHz }, at) =>
      frequencyHz.value *
      Math.exp(
        weighed(
          causes.map(({ cents }) => cents[at]!),
          next.mean,
        ) / CENTS_PER_NEPER,
      ),
  );
  const mass =
    result.massKg.value *
    Math.exp(
      weighed(
        causes.map(({ logMass }) => logMass),
        next.mean,
      ),
    );
  return {
    ...result,
    massKg: { value: mass, ci95: mass * massRelativeCi95(next.knowledge, "mass") },
    modes: result.modes.map((mode, at) => ({
      ...mode,
      ...frequencyAndRatio(hz, next.knowledge, at, result.reference),
    })),
    calibration: calibrationOf(result, casting, seen, left, elastic, mean, covariance),
  };
}

function weighed(weights: readonly number[], mean: Float64Array): number {
  return weights.reduce((sum, weight, i) => sum + weight * mean[i]!, 0);
}

/** What differs from casting to casting is as unknown as before. */
function nextCasting(
  { causes }: Knowledge,
  mean: Float64Array,
  covariance: Float64Array,
): { mean: Float64Array; knowledge: Knowledge } {
  const count = causes.length;
  const nextMean = mean.map((each, i) => (causes[i]!.lasts ? each : 0));
  const nextCovariance = covariance.map((each, at) => {
    const [i, j] = [Math.floor(at / count), at % count];
    if (causes[i]!.lasts && causes[j]!.lasts) return each;
    return i === j ? 1 : 0;
  });
  return { mean: nextMean, knowledge: { causes, covariance: nextCovariance } };
}

function calibrationOf(
  { metal }: ForecastResult,
  { label, massKg }: MeasuredCasting,
  seen: readonly { mode: number; measuredHz: Estimate; beforeCents: number }[],
  left: readonly number[],
  elastic: readonly number[],
  mean: Float64Array,
  covariance: Float64Array,
): Calibration {
  const count = mean.length;
  let variance = 0;
  for (let i = 0; i < count; i++) {
    for (let j = 0; j < count; j++) variance += elastic[i]! * elastic[j]! * covariance[i * count + j]!;
  }
  // The pitch goes with the root of E over density.
  const factor = Math.exp((2 * weighed(elastic, mean)) / CENTS_PER_NEPER);
  const relative = (2 * SD_TO_CI95 * Math.sqrt(Math.max(0, variance))) / CENTS_PER_NEPER;
  const assumed = (metal.youngGPa.value * 1e9) / metal.densityKgM3.value;
  return {
    label,
    youngOverDensity: { value: assumed * factor, ci95: assumed * factor * relative },
    factor: { value: factor, ci95: factor * relative },
    measuredMassKg: massKg?.value ?? null,
    partials: seen.map((each, i) => ({ ...each, leftCents: left[i]! })),
  };
}
