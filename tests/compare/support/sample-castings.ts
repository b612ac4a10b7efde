/** Invented castings for tests, made from the invented sound bell. */
import type { CastingToCompare } from "../../../src/compare/index.ts";
import type { TapMeasurement } from "../../../src/measurement/index.ts";
import { SOUND_SPECS, soundBell } from "../../support/sample-measurement.ts";
import {
  type PartialSpec,
  sampleMeasurement,
  sampleRecording,
  sampleStrike,
} from "../../support/sample-parts.ts";

/** The sound bell's partials, each put through `change`. */
export function bellLike(
  change: (spec: PartialSpec, index: number) => PartialSpec | null,
  over: Partial<TapMeasurement> & { label?: string } = {},
): TapMeasurement {
  const specs = SOUND_SPECS.flatMap((spec, i) => change(spec, i) ?? []);
  const { strikeNote, sustain, brightness } = soundBell();
  return sampleMeasurement(specs, { strikeNote, sustain, brightness, label: "Invented casting", ...over });
}

/** The pattern in another alloy: all frequencies by one ratio, loss factors by another. */
export const inOtherAlloy = (ratio: number, lossRatio: number): TapMeasurement =>
  bellLike((spec) => ({
    ...spec,
    frequencyHz: spec.frequencyHz * ratio,
    lossFactor: spec.lossFactor * lossRatio,
    ...(spec.splitHz === undefined ? {} : { splitHz: spec.splitHz * ratio }),
  }));

/** The same measurement as if from one strike. */
export function oneStrike(measurement: TapMeasurement): TapMeasurement {
  return {
    ...measurement,
    strikes: [sampleStrike()],
    recordings: [sampleRecording()],
    partials: measurement.partials.map((partial) => ({
      ...partial,
      strikeSpreadHz: null,
      strikeSpreadS: null,
    })),
  };
}

/** A casting of which nothing but its sound is known, unless `facts` say more. */
export function casting(
  measurement: TapMeasurement,
  facts: Partial<Omit<CastingToCompare, "measurement">> = {},
): CastingToCompare {
  const { label } = measurement.options;
  return { label, alloy: null, massKg: null, diameterM: null, ...facts, measurement };
}
