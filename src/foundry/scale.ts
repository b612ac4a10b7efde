import type { Estimate, TapMeasurement } from "../measurement/index.ts";
import { castDensityKgM3 } from "./alloy-sheets.ts";
import { type AlloyShift, alloyShift } from "./alloy-shift.ts";
import { type Composition, formatComposition } from "./composition.ts";
import { type Contraction, publishedContraction } from "./contraction.ts";
import { InvalidPlanError } from "./error.ts";
import { exact, quadrature, relativeCi95, withRelative } from "./estimate.ts";
import { type BellSize, type Expected, expectedBell } from "./expected.ts";
import { referenceHz, STRIKE_NOTE } from "./reference.ts";
import {
  CASTING_SPREAD,
  type ExponentFit,
  type FamilyMember,
  fitExponent,
  lengthFactor,
  OVERALL_LAW,
  WALL_LAW,
  wallMassSlack,
} from "./scaling-law.ts";
import { suspectNote } from "./suspect.ts";
import { TEMPERATURE_SOURCE, temperatureRatio } from "./temperature.ts";

export interface ScaleRequest {
  measurement: TapMeasurement;
  /** "strike note", or the name of the partial that is to sound the wanted frequency. */
  reference: string;
  targetHz: number;
  /** The note that the wanted frequency is, as the user wrote it; null when asked for in hertz. */
  targetNote: string | null;
  size: BellSize;
  fromAlloy: Composition | null;
  toAlloy: Composition | null;
  /** Measured bells of the family, this one among them; empty to assume the law of similarity. */
  family: FamilyMember[];
  /** Keep diameter and height, change the wall. */
  wallOnly: boolean;
  /** The user's own contraction; null takes the published one. */
  contraction: Contraction | null;
  /** Metal temperatures when measured and when it is to sound the note; null for no correction. */
  temperature: { measuredC: number; playedC: number } | null;
}

export type LengthName = "diameter" | "height" | "wall";

export interface PlannedLength {
  name: LengthName;
  hadM: Estimate;
  castingM: Estimate;
  patternM: Estimate;
}

export interface ScaleResult {
  /** The measured bell; its mass is as the user gave it, or null. */
  from: { label: string; reference: string; frequencyHz: Estimate; massKg: Estimate | null };
  targetHz: number;
  targetNote: string | null;
  /** What the plan changes: the whole bell, or its wall alone. */
  law: "overall" | "wall";
  /** New casting over old casting, and so new pattern over old pattern: every length, wall included. */
  factor: Estimate;
  exponent: Estimate;
  exponentSource: string;
  family: Pick<ExponentFit, "bells" | "scatterRelative"> | null;
  /** With the diameter and height kept: new wall over old wall. Null unless asked for. */
  wallFactor: Estimate | null;
  wallSource: string | null;
  alloy: (AlloyShift & { from: Composition; to: Composition }) | null;
  temperature: { measuredC: number; playedC: number; frequencyRatio: Estimate; source: string } | null;
  contraction: { percent: Estimate; source: string };
  /** New pattern over the measured bell as cast: the factor and the contraction. */
  patternFactor: Estimate;
  /** New mass over old mass. */
  massFactor: Estimate;
  lengths: PlannedLength[];
  expected: Expected;
  notes: string[];
}

/**
 * The next pattern from a measured bell: f ~ sqrt(E / density) / size, or f ~ thickness^q with the wall alone.
 *
 * 1. The frequency to bridge is the measured one, moved to the playing temperature and to the new alloy, over the
 *    wanted one.
 * 2. The length factor is its power of one over the exponent (1 by similarity, or fitted to the family).
 * 3. The pattern is the casting times one plus the contraction; mass goes with the cube of the factor and with the
 *    density of the alloys.
 *
 * @throws InvalidPlanError for values that cannot be meant, or where no sheet speaks of an alloy.
 */
export function planScale(request: ScaleRequest): ScaleResult {
  const { measurement, reference, targetHz, family, wallOnly, size } = request;
  if (!(targetHz > 0 && Number.isFinite(targetHz))) {
    throw new InvalidPlanError("the wanted frequency must be above 0 Hz; give a note such as C6, or hertz");
  }
  const frequencyHz = referenceHz(measurement, reference);
  const alloy = alloyOf(request);
  const temperature = temperatureOf(request);
  const ratio = withRelative(
    (frequencyHz.value / targetHz) *
      (alloy?.frequencyRatio.value ?? 1) *
      (temperature?.frequencyRatio.value ?? 1),
    relativeCi95(frequencyHz),
    alloy === null ? 0 : relativeCi95(alloy.frequencyRatio),
    temperature === null ? 0 : relativeCi95(temperature.frequencyRatio),
  );
  const fit = family.length > 0 ? fitExponent(family) : null;
  const law = fit ?? OVERALL_LAW;
  const factor = lengthFactor(ratio, law);
  // A thicker wall sounds higher: the same law with the ratio turned over.
  const wallFactor = wallOnly
    ? lengthFactor({ value: 1 / ratio.value, ci95: ratio.ci95 / ratio.value ** 2 }, WALL_LAW)
    : null;
  const contraction = request.contraction ?? publishedContraction(request.toAlloy ?? request.fromAlloy);
  const densityRatio = densityRatioOf(alloy);
  const grown = (name: LengthName): Estimate => {
    if (wallFactor === null) return factor;
    return name === "wall" ? wallFactor : exact(1);
  };
  return {
    from: { label: measurement.options.label, reference, frequencyHz, massKg: size.massKg },
    targetHz,
    targetNote: request.targetNote,
    law: wallOnly ? "wall" : "overall",
    factor,
    exponent: law.exponent,
    exponentSource: law.source,
    family: fit && { bells: fit.bells, scatterRelative: fit.scatterRelative },
    wallFactor,
    wallSource: wallOnly ? WALL_LAW.source : null,
    alloy,
    temperature,
    contraction: {
      percent: { value: contraction.fraction.value * 100, ci95: contraction.fraction.ci95 * 100 },
      source: contraction.source,
    },
    patternFactor: withContraction(factor, contraction.fraction),
    massFactor: massFactorOf(factor, wallFactor, densityRatio),
    lengths: lengthsOf(size, grown, contraction.fraction),
    expected: expectedBell({
      measurement,
      size,
      pitchRatio: targetHz / frequencyHz.value,
      lengthRatio: wallFactor ?? factor,
      wallOnly,
      exponent: wallOnly ? WALL_LAW.exponent : law.exponent,
      bridged: ratio,
      contraction: contraction.fraction,
      spreadRelative: Math.max(CASTING_SPREAD.frequencyRelative, 1.96 * (fit?.scatterRelative ?? 0)),
      alloyChanges: changes(alloy),
      densityRatio,
    }),
    notes: notesOf(request, alloy, factor),
  };
}

function alloyOf({ fromAlloy, toAlloy }: ScaleRequest): ScaleResult["alloy"] {
  if (fromAlloy === null && toAlloy === null) return null;
  if (fromAlloy === null || toAlloy === null) {
    throw new InvalidPlanError(
      "a change of alloy needs both, the measured bell's and the new one; give the missing one",
    );
  }
  return { from: fromAlloy, to: toAlloy, ...alloyShift(fromAlloy, toAlloy) };
}

function temperatureOf({ temperature }: ScaleRequest): ScaleResult["temperature"] {
  if (temperature === null) return null;
  const { measuredC, playedC } = temperature;
  return {
    measuredC,
    playedC,
    frequencyRatio: temperatureRatio(measuredC, playedC),
    source: TEMPERATURE_SOURCE,
  };
}

function changes(alloy: ScaleResult["alloy"]): alloy is NonNullable<ScaleResult["alloy"]> {
  return alloy !== null && alloy.sheets.length > 0;
}

function densityRatioOf(alloy: ScaleResult["alloy"]): Estimate {
  if (!changes(alloy)) return exact(1);
  const from = castDensityKgM3(alloy.from).densityKgM3;
  const to = castDensityKgM3(alloy.to).densityKgM3;
  return withRelative(to.value / from.value, relativeCi95(from), relativeCi95(to));
}

function massFactorOf(factor: Estimate, wallFactor: Estimate | null, densityRatio: Estimate): Estimate {
  const [bulk, relative] =
    wallFactor === null
      ? [factor.value ** 3, 3 * relativeCi95(factor)]
      : [wallFactor.value, quadrature(relativeCi95(wallFactor), wallMassSlack(wallFactor.value))];
  return withRelative(bulk * densityRatio.value, relative, relativeCi95(densityRatio));
}

function withContraction(length: Estimate, contraction: Estimate): Estimate {
  const grown = 1 + contraction.value;
  return {
    value: length.value * grown,
    ci95: quadrature(length.ci95 * grown, length.value * contraction.ci95),
  };
}

function lengthsOf(
  size: BellSize,
  grown: (name: LengthName) => Estimate,
  contraction: Estimate,
): PlannedLength[] {
  const had: [LengthName, Estimate | null][] = [
    ["diameter", size.diameterM],
    ["height", size.heightM],
    ["wall", size.wallM],
  ];
  return had.flatMap(([name, hadM]) => {
    if (hadM === null) return [];
    const factor = grown(name);
    const castingM = withRelative(hadM.value * factor.value, relativeCi95(hadM), relativeCi95(factor));
    return [{ name, hadM, castingM, patternM: withContraction(castingM, contraction) }];
  });
}

/** Beyond this change one bell is a poor model of the next. */
const FAR_FACTOR = 1.5;

function notesOf(request: ScaleRequest, alloy: ScaleResult["alloy"], factor: Estimate): string[] {
  const suspect = suspectNote(request.measurement, "The measured bell's");
  const notes = suspect === null ? [] : [suspect];
  if (request.wallOnly) {
    notes.push(
      "With the wall alone the partials do not move together, so their ratios change too: expect to tune, and leave metal for it (common practice, no source).",
    );
  }
  if (factor.value > FAR_FACTOR || factor.value < 1 / FAR_FACTOR) {
    notes.push(
      "This is far from the measured bell: sets of bells are not exact copies of one another (Rossing & Perrin 1987), so cast one in between, or give more measured bells of the family.",
    );
  }
  if (changes(alloy)) {
    notes.push(
      `Data sheets disagree on ${formatComposition(alloy.from)} and ${formatComposition(alloy.to)} by more than a tuner allows: a trial bell of one pattern in both alloys tells it better than any sheet.`,
    );
  }
  if (request.reference === STRIKE_NOTE && request.measurement.strikeNote!.confidence < 0.5) {
    notes.push("The strike note of the measured bell is uncertain; going by a named partial is surer.");
  }
  return notes;
}
