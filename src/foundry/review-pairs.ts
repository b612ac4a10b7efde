import type { Estimate, TapMeasurement } from "../measurement/index.ts";
import type { Expected } from "./expected.ts";

export interface ReviewPair {
  name: string | null;
  plannedHz: Estimate;
  measuredHz: Estimate;
  plannedDecayS: Estimate | null;
  measuredDecayS: Estimate;
}

/** Nameless partials are taken for the same when they lie within a semitone after the shift of the named ones. */
const NEAR_RATIO = 2 ** (1 / 12);

/** Planned partials with the measured ones that they became: by name, and the nameless by nearness. */
export function pairPartials(expected: Expected, measurement: TapMeasurement): ReviewPair[] {
  const free = new Set(measurement.partials);
  const pairs: ReviewPair[] = [];
  const take = (planned: Expected["partials"][number], partial: TapMeasurement["partials"][number]): void => {
    free.delete(partial);
    pairs.push({
      name: planned.name,
      plannedHz: planned.frequencyHz,
      measuredHz: partial.frequencyHz,
      plannedDecayS: planned.decayTimeS,
      measuredDecayS: partial.decayTimeS,
    });
  };
  for (const planned of expected.partials) {
    if (planned.name === null) continue;
    const same = [...free].find((partial) => partial.name === planned.name);
    if (same) take(planned, same);
  }
  const shift = shiftOf(pairs, expected, measurement);
  for (const planned of expected.partials) {
    if (planned.name !== null) continue;
    const distance = (hz: number): number => Math.abs(Math.log(hz / (planned.frequencyHz.value * shift)));
    let nearest: TapMeasurement["partials"][number] | null = null;
    for (const partial of free) {
      if (partial.name !== null || distance(partial.frequencyHz.value) > Math.log(NEAR_RATIO)) continue;
      if (nearest && distance(nearest.frequencyHz.value) <= distance(partial.frequencyHz.value)) continue;
      nearest = partial;
    }
    if (nearest) take(planned, nearest);
  }
  return pairs.sort((a, b) => a.plannedHz.value - b.plannedHz.value);
}

function shiftOf(pairs: ReviewPair[], expected: Expected, measurement: TapMeasurement): number {
  if (pairs.length > 0) {
    const logs = pairs.map((pair) => Math.log(pair.measuredHz.value / pair.plannedHz.value));
    return Math.exp(logs.reduce((a, b) => a + b, 0) / logs.length);
  }
  const planned = expected.strikeNoteHz?.value;
  const measured = measurement.strikeNote?.frequencyHz.value;
  return planned && measured ? measured / planned : 1;
}
