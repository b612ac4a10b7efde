/** Invented comparisons for the tests of their reports. */
import { type Comparison, compareCastings } from "../../../src/compare/index.ts";
import type { TapMeasurement } from "../../../src/measurement/index.ts";
import { type TwoView, viewsOf } from "../../../src/report/compare/view.ts";
import { bellLike, casting, inOtherAlloy, oneStrike } from "../../compare/support/sample-castings.ts";
import { emptyMeasurement, noisyRecording, soundBell } from "../../support/sample-measurement.ts";
import { estimate } from "../../support/sample-parts.ts";

export interface Compared {
  comparison: Comparison;
  measurements: TapMeasurement[];
}

function compared(measurements: TapMeasurement[], scenario: string | null = null, reference = 0): Compared {
  const facts = [
    { label: "first heat", alloy: "Cu90Sn10", massKg: estimate(4, 0.01), diameterM: estimate(0.2, 0.0005) },
    {
      label: "second heat",
      alloy: "Cu80Sn20",
      massKg: estimate(3.95, 0.01),
      diameterM: estimate(0.2, 0.0005),
    },
  ];
  const inputs = measurements.map((m, i) => casting(m, facts[i] ?? { label: `casting ${i + 1}` }));
  return { comparison: compareCastings(inputs, reference, scenario), measurements };
}

/** One pattern in two alloys: longer in five partials, 38 cents higher, one partial missing in B. */
export function twoAlloys(): Compared {
  const b = bellLike((spec, i) =>
    spec.name === "quint"
      ? null
      : {
          ...spec,
          frequencyHz: spec.frequencyHz * 1.0222,
          lossFactor: spec.lossFactor / (i < 5 ? 2.1 : 1.2),
        },
  );
  return compared([soundBell(), b], "No such bell was cast.");
}

export const singleStrikes = (): Compared =>
  compared([oneStrike(soundBell()), oneStrike(inOtherAlloy(1.01, 1))]);
export const threeCastings = (): Compared =>
  compared([inOtherAlloy(1.01, 1), soundBell(), inOtherAlloy(1.03, 0.7)], null, 1);
export const nothingInCommon = (): Compared => compared([emptyMeasurement(), noisyRecording()]);

export const viewOf = ({ comparison, measurements }: Compared): TwoView =>
  viewsOf(comparison, measurements)[0];
