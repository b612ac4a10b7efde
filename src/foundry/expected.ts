import type { Estimate, TapMeasurement } from "../measurement/index.ts";
import { relativeCi95, withRelative } from "./estimate.ts";
import { CASTING_SPREAD, wallMassSlack } from "./scaling-law.ts";

/** Sizes of the measured bell as cast, where known. */
export interface BellSize {
  diameterM: Estimate | null;
  heightM: Estimate | null;
  wallM: Estimate | null;
  massKg: Estimate | null;
}

export interface ExpectedPartial {
  name: string | null;
  frequencyHz: Estimate;
  /** 60 dB time; null where the alloy changes, since no sheet gives its damping. */
  decayTimeS: Estimate | null;
}

/** The bell to be heard when the plan is followed, to set the casting against. */
export interface Expected {
  strikeNoteHz: Estimate | null;
  partials: ExpectedPartial[];
  massKg: Estimate | null;
  diameterM: Estimate | null;
}

export interface ExpectedRequest {
  measurement: TapMeasurement;
  size: BellSize;
  /** Every frequency new over old. */
  pitchRatio: number;
  /** The length that changes (all of them, or the wall) new over old. */
  lengthRatio: Estimate;
  wallOnly: boolean;
  exponent: Estimate;
  /** The frequency ratio that the length bridges, with what is uncertain of alloy, temperature and measurement. */
  bridged: Estimate;
  contraction: Estimate;
  /** Spread of castings about the law, relative 95 % half-width of frequency. */
  spreadRelative: number;
  alloyChanges: boolean;
  densityRatio: Estimate;
}

/**
 * Pitch, decay and mass of a casting from this plan. By similarity every frequency goes with one over the size, and
 * the loss factor stays (friction in the metal and sound radiated both, since size over wavelength stays), so decay
 * times go with the size. Intervals hold the measurement, alloy, temperature, exponent, contraction, and the spread
 * between castings; the pattern is taken as cut to the plan, whose own uncertainty shows in the pitch.
 */
export function expectedBell(request: ExpectedRequest): Expected {
  const { measurement, pitchRatio, wallOnly } = request;
  const common = [
    relativeCi95(request.bridged),
    Math.log(request.lengthRatio.value) * request.exponent.ci95,
    request.contraction.ci95,
    request.spreadRelative,
  ];
  const moved = (frequencyHz: Estimate): Estimate =>
    withRelative(frequencyHz.value * pitchRatio, relativeCi95(frequencyHz), ...common);
  const decayRelative = wallOnly ? CASTING_SPREAD.wallOnlyDecayRelative : CASTING_SPREAD.decayRelative;
  const rung = (decayTimeS: Estimate): Estimate =>
    withRelative(decayTimeS.value / pitchRatio, relativeCi95(decayTimeS), decayRelative);
  return {
    strikeNoteHz: measurement.strikeNote === null ? null : moved(measurement.strikeNote.frequencyHz),
    partials: measurement.partials.map(({ name, frequencyHz, decayTimeS }) => ({
      name,
      frequencyHz: moved(frequencyHz),
      decayTimeS: request.alloyChanges ? null : rung(decayTimeS),
    })),
    ...expectedSize(request),
  };
}

function expectedSize(request: ExpectedRequest): Pick<Expected, "massKg" | "diameterM"> {
  const { size, lengthRatio, wallOnly, contraction, densityRatio } = request;
  const ratio = lengthRatio.value;
  const [bulk, bulkRelative] = wallOnly ? [ratio, wallMassSlack(ratio)] : [ratio ** 3, 0];
  const massKg =
    size.massKg &&
    withRelative(
      size.massKg.value * bulk * densityRatio.value,
      relativeCi95(size.massKg),
      bulkRelative,
      relativeCi95(densityRatio),
      3 * contraction.ci95,
      CASTING_SPREAD.massRelative,
    );
  const diameterM =
    size.diameterM &&
    withRelative(
      size.diameterM.value * (wallOnly ? 1 : ratio),
      relativeCi95(size.diameterM),
      contraction.ci95,
    );
  return { massKg, diameterM };
}
