import type { Profile } from "../bell/index.ts";
import { spoilingFindings } from "../findings/index.ts";
import type { Estimate, Finding, TapPartial } from "../measurement/index.ts";
import { centsFrom, shiftedHz } from "./cents.ts";
import type { SeriesBell, SeriesFile, SeriesPass } from "./file/series-file.ts";
import { type SpoiledPass, seriesFindings } from "./findings.ts";
import {
  type FailedRecording,
  SERIES_SCHEMA,
  type SeriesBellResult,
  type SeriesPartial,
  type SeriesPassResult,
  type SeriesResult,
  type TemperatureCorrection,
} from "./result.ts";
import {
  type CurrentBell,
  commonShift,
  decaySpread,
  meanDeviation,
  movedBy,
  neighbourIntervals,
  oddInDecay,
  oddInPitch,
} from "./set.ts";
import { type PartialTarget, partialTargets } from "./targets.ts";
import { tuneBell } from "./tuning/tune-bell.ts";

/** The part of a measured bell that a series stands on. */
export interface MeasuredPass {
  partials: Pick<TapPartial, "name" | "frequencyHz" | "decayTimeS">[];
  findings: Finding[];
}

export interface SeriesInput {
  file: SeriesFile;
  profile: Profile;
  /** For each bell its passes, in the file's order; null where none of the recordings could be measured. */
  measured: (MeasuredPass | null)[][];
  failed: FailedRecording[];
  tool: { version: string; method: string };
  /** Asked for by the user, or null: temperatures are then noted and nothing is corrected. */
  temperature: TemperatureCorrection | null;
}

/**
 * From measured passes to what a founder wants to know of a set: deviations from target, the best common shift,
 * intervals between neighbours, decay times, odd ones out, what cuts did, and the next cut of each bell. Pure.
 */
export function analyseSeries(input: SeriesInput): SeriesResult {
  const { file, tool, temperature } = input;
  const onA4 = file.bells.map((bell, i) => measuredBell(bell, input.measured[i]!, input));
  const failed = [...input.failed, ...unnamed(onA4, input)];
  const shift = commonShift(onA4.map(currentOf));
  const moveCents = file.anchor === "set" && shift !== null ? shift.value : 0;
  const anchored = onA4.map((bell) => anchoredBell(bell, moveCents));
  const current = anchored.map(currentOf);
  const result: Omit<SeriesResult, "findings"> = {
    schema: SERIES_SCHEMA,
    tool: { name: "ringwright", ...tool },
    set: file.set,
    a4Hz: file.a4Hz,
    temperament: { ...file.temperament, cents: [...file.temperament.cents] },
    profile: input.profile.id,
    anchor: file.anchor,
    temperature,
    bells: anchored.map((bell) => ({ ...bell, ...tuneBell(bell, anchored) })),
    commonShiftCents: shift,
    intervals: neighbourIntervals(current),
    decaySpread: decaySpread(current),
    oddOnes: [...oddInPitch(current), ...oddInDecay(current)],
    failed,
  };
  return { ...result, findings: seriesFindings(result, spoiledPasses(onA4, input)) };
}

const spoilersOf = (pass: MeasuredPass) => spoilingFindings(pass.findings).map(({ title }) => title);

/** Passes whose own measurement says that its numbers are not, or not only, those of one bell ringing freely. */
function spoiledPasses(bells: readonly UntunedBell[], { measured }: SeriesInput): SpoiledPass[] {
  return bells.flatMap((bell, b) =>
    bell.passes.flatMap((pass, p): SpoiledPass[] => {
      const from = measured[b]![p] ?? null;
      const titles = from === null || !pass.measured ? [] : spoilersOf(from);
      return titles.length === 0 ? [] : [{ bell: bell.name, recordings: pass.recordings, titles }];
    }),
  );
}

/** Passes in which partials were heard, but none that the profile names. */
function unnamed(bells: readonly UntunedBell[], { measured, profile }: SeriesInput): FailedRecording[] {
  return bells.flatMap((bell, b) =>
    bell.passes.flatMap((pass, p): FailedRecording[] => {
      const from = measured[b]![p] ?? null;
      if (pass.measured || from === null) return [];
      const spoilers = spoilersOf(from);
      const why =
        spoilers.length > 0
          ? `, and its measurement asks for attention (${spoilers.join("; ")}); record it again`
          : `; name them with tap --pin and give its JSON here, or name another profile`;
      return [
        {
          recording: pass.recordings.join(", "),
          reason: `no partial of it could be named by the profile ${profile.id}${why}`,
        },
      ];
    }),
  );
}

type UntunedBell = Omit<SeriesBellResult, "sensitivity" | "projections" | "nextCut" | "nextCutReason">;

function measuredBell(
  bell: SeriesBell,
  measured: readonly (MeasuredPass | null)[],
  { profile, temperature }: SeriesInput,
): UntunedBell {
  const targets = partialTargets(profile, bell.targetHz);
  const passes = bell.passes.map((pass, i) => passResult(pass, measured[i] ?? null, targets, temperature));
  const { name, target, targetHz, alloy, massKg, diameterMm } = bell;
  return { name, target, targetHz, alloy, massKg, diameterMm, passes, meanCents: meanOfLast(passes) };
}

function passResult(
  pass: SeriesPass,
  measured: MeasuredPass | null,
  targets: readonly PartialTarget[],
  temperature: TemperatureCorrection | null,
): SeriesPassResult {
  const { date, recordings, removedG, removedMm, at, metalC, airC, note } = pass;
  const corrects = temperature !== null && metalC !== null;
  const factor = corrects ? correctionFactor(temperature, metalC) : null;
  const partials = (measured?.partials ?? []).flatMap((partial): SeriesPartial[] => {
    const target = targets.find(({ name }) => name === partial.name);
    if (target === undefined) return [];
    const frequencyHz = factor ? product(partial.frequencyHz, factor) : partial.frequencyHz;
    return [
      {
        name: target.name,
        frequencyHz,
        targetHz: target.hertz,
        deviationCents: centsFrom(target.hertz, frequencyHz),
        decayTimeS: partial.decayTimeS,
      },
    ];
  });
  return {
    ...{ date, recordings, removedG, removedMm, at, metalC, airC, note },
    measured: measured !== null && partials.length > 0,
    temperatureCorrected: corrects,
    partials,
  };
}

/** Frequency at the wanted temperature over that at the bell's, first order in the difference. */
function correctionFactor({ toC, coefficientPerK }: TemperatureCorrection, metalC: number): Estimate {
  const kelvin = toC - metalC;
  return { value: 1 + coefficientPerK.value * kelvin, ci95: coefficientPerK.ci95 * Math.abs(kelvin) };
}

function product(a: Estimate, b: Estimate): Estimate {
  return { value: a.value * b.value, ci95: Math.hypot(a.ci95 * b.value, a.value * b.ci95) };
}

function anchoredBell(bell: UntunedBell, cents: number): UntunedBell {
  if (cents === 0) return bell;
  const passes = bell.passes.map((pass) => ({
    ...pass,
    partials: pass.partials.map((partial) => movedBy(partial, cents)),
  }));
  return { ...bell, targetHz: shiftedHz(bell.targetHz, cents), passes, meanCents: meanOfLast(passes) };
}

const lastMeasured = (passes: readonly SeriesPassResult[]): SeriesPartial[] =>
  passes.findLast(({ measured }) => measured)?.partials ?? [];

const meanOfLast = (passes: readonly SeriesPassResult[]) => meanDeviation(lastMeasured(passes));

function currentOf({ name, targetHz, passes }: UntunedBell): CurrentBell {
  return { name, targetHz, partials: lastMeasured(passes) };
}
