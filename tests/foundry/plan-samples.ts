/** One plan of every kind, from invented measurements. */
import {
  densityFromWeighing,
  massOfVolume,
  PLAN_SCHEMA,
  type PlanDocument,
  parseComposition,
  planCharge,
  planCorrection,
  planScale,
  recipeFor,
  reviewPlan,
  type ScaleRequest,
} from "../../src/foundry/index.ts";
import type { TapMeasurement } from "../../src/measurement/index.ts";
import { soundBell } from "../support/sample-measurement.ts";

const estimate = (value: number, ci95 = 0) => ({ value, ci95 });

export function planOf(plan: Omit<PlanDocument, "schema" | "tool">): PlanDocument {
  return { schema: PLAN_SCHEMA, tool: { name: "ringwright", version: "0.0.0" }, ...plan };
}

export function sampleScale(over: Partial<ScaleRequest> = {}): PlanDocument {
  const scale = planScale({
    measurement: soundBell(),
    reference: "strike note",
    targetHz: 523.25,
    targetNote: "C5",
    size: {
      diameterM: estimate(0.3, 0.0005),
      heightM: estimate(0.24, 0.0005),
      wallM: estimate(0.02, 0.0005),
      massKg: estimate(20, 0.05),
    },
    fromAlloy: null,
    toAlloy: null,
    family: [],
    wallOnly: false,
    contraction: null,
    temperature: null,
    ...over,
  });
  return planOf({ command: "scale", scale });
}

/** Everything a scale can say at once: another alloy, another temperature, a family, a far and doubtful note. */
export function longestScale(measurement: TapMeasurement = soundBell()): PlanDocument {
  measurement.strikeNote!.confidence = 0.3;
  return sampleScale({
    measurement,
    targetHz: 261.63,
    targetNote: "C4",
    fromAlloy: parseComposition("Cu90Sn10"),
    toAlloy: parseComposition("Cu78Sn22"),
    family: [0.2, 0.3, 0.41].map((size) => ({
      size: estimate(size, 0.0005),
      frequencyHz: estimate(157 / size, 0.1),
    })),
    temperature: { measuredC: 5, playedC: 20 },
  });
}

export function sampleCharge(returns = 3): PlanDocument {
  const wanted = parseComposition("Cu78Sn22");
  const charge = planCharge({
    castingKg: 12,
    volume: massOfVolume(estimate(1.38e-3), wanted),
    feedingKg: 3.6,
    recipe: recipeFor(wanted),
    losses: { Sn: 0.01 },
    returns: Array.from({ length: returns }, (_, i) => ({
      name: `return ${i + 1}`,
      massKg: 1 + i / 4,
      composition: parseComposition(i % 2 === 0 ? "Cu88Sn10Zn2" : "Cu70Sn30"),
    })),
    newMetals: null,
    prices: null,
    crucibleKg: 20,
  });
  return planOf({ command: "charge", charge });
}

export function impossibleCharge(): PlanDocument {
  const wanted = parseComposition("Cu78Sn22");
  const charge = planCharge({
    castingKg: 12,
    volume: null,
    feedingKg: 3.6,
    recipe: recipeFor(wanted),
    losses: {},
    returns: [],
    newMetals: ["Cu"],
    prices: null,
    crucibleKg: null,
  });
  return planOf({ command: "charge", charge });
}

export function sampleCorrect(have = "Cu90Sn10", crucibleKg: number | null = 11): PlanDocument {
  const correct = planCorrection({
    haveKg: 10,
    have: parseComposition(have),
    recipe: recipeFor(parseComposition("Cu80Sn20")),
    losses: {},
    crucibleKg,
  });
  return planOf({ command: "correct", correct });
}

export function sampleDensity(airKg = 0.812): PlanDocument {
  const density = densityFromWeighing({
    airKg: estimate(airKg, 0.0005),
    waterKg: estimate(0.718, 0.0005),
    waterTemperatureC: estimate(20, 5),
    meant: parseComposition("Cu80Sn20"),
  });
  return planOf({ command: "density", density });
}

export function sampleReview(massKg: number | null = 20): PlanDocument {
  const { scale } = sampleScale();
  const review = reviewPlan({
    plan: scale!,
    measurement: soundBell(),
    massKg: massKg === null ? null : estimate(massKg, 0.05),
    diameterM: massKg === null ? null : estimate(0.3, 0.0005),
  });
  return planOf({ command: "review", review });
}

export const SAMPLE_PLANS: [string, () => PlanDocument][] = [
  ["a scale", () => sampleScale()],
  ["a scale of the wall alone", () => sampleScale({ wallOnly: true, targetHz: 560 })],
  ["the longest scale", () => longestScale()],
  ["a charge", () => sampleCharge()],
  ["a charge without returns", () => sampleCharge(0)],
  ["a charge that cannot be made", impossibleCharge],
  ["a correction", () => sampleCorrect()],
  ["a correction that cannot be made", () => sampleCorrect("Cu88Sn10Zn2")],
  ["a density", () => sampleDensity()],
  ["a density without tin", () => sampleDensity(0.805)],
  ["a review", () => sampleReview()],
  ["a review by ear alone", () => sampleReview(null)],
];
