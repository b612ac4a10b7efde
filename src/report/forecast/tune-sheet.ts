import type { ForecastDocument, TuneResult } from "../../shape/index.ts";
import { countOf, estimateText, listOf, plainNumber, signedEstimateText } from "../numbers.ts";
import type { PlanSheet, SheetTable } from "../plan/sheet.ts";

/** The usual cautions where metal is taken off a bell; local codes and licensed practice first. */
export const CUTTING_CAUTIONS: readonly string[] = [
  "Local codes and licensed practice come before this sheet.",
  "A bell on a lathe or under a grinder is heavy and hard to hold: clamp it by its crown or mouth as your practice says, keep hands, sleeves and hair away, wear eye protection.",
  "Dust and fume of bronze hold copper, tin and what else the alloy holds: take them off at the tool.",
  "A bell struck close to the ear is loud enough to hurt: wear ear protection when you measure between passes.",
];

/** Where to cut, pass by pass. */
export function tuneSheet(document: ForecastDocument, tune: TuneResult): PlanSheet {
  const { passes, before, reference } = tune;
  const largest = Math.max(...before.map(({ offCents }) => Math.abs(offCents.value)));
  const [first] = passes;
  const lead =
    first === undefined
      ? [
          `Leave the bell as it is: nothing that may be cut brings its partials surely nearer. The largest is ${largest.toFixed(1)} cents off.`,
        ]
      : [
          `Cut the first pass only, ${estimateText({ value: first.removedKg, ci95: 0.05 * first.removedKg }, "other", "kg")} in ${countOf(first.cuts.length, "place")}, then measure the bell again: its partials are up to ${largest.toFixed(1)} cents off now.`,
          "Each pass stops short, so that in 95 of 100 bells no partial is taken past its ratio.",
        ];
  return {
    title: `Cuts for ${document.profile.file}`,
    lead,
    attention:
      tune.notReached.length === 0
        ? []
        : [
            `Metal that may go cannot bring ${listOf(tune.notReached)} to the ratio; allow a deeper cut with --max or the other wall with --only both.`,
          ],
    tables: [
      partialsTable(tune),
      ...passes.slice(0, 1).map(
        (pass): SheetTable => ({
          caption:
            "Pass 1: depth at the middle of each place, falling smoothly to that of the next. Heights as in the profile.",
          head: ["wall", "height, mm", "radius, mm", "take off, mm"],
          rows: pass.cuts.map(({ wall, zMm, rMm, depthMm }) => [
            wall,
            plainNumber(zMm, 1),
            plainNumber(rMm, 1),
            plainNumber(depthMm, 2),
          ]),
        }),
      ),
    ],
    notes: [
      `Ratios: ${tune.ratios}, counted from the ${reference}, which goes where the cut takes it.`,
      `The cut is ${tune.aim === "smoothest" ? "the smoothest" : "the one with the least metal"} that does it; how partials answer comes from the profile, its wall fitted to what was measured.`,
      ...CUTTING_CAUTIONS,
    ],
    sources: [],
    cautions: "never",
  };
}

function partialsTable({ before, passes }: TuneResult): SheetTable {
  return {
    caption:
      "Cents off the ratio, now and after each pass if it goes as predicted. Frequencies after pass 1.",
    head: [
      "partial",
      "now",
      ...passes.map((_, k) => `pass ${k + 1}`),
      ...(passes.length > 0 ? ["Hz after 1"] : []),
    ],
    rows: before.map(({ name, offCents }, i) => [
      name,
      i === 0 ? "reference" : signedEstimateText(offCents, "cents"),
      ...passes.map(({ partials }) => (i === 0 ? "" : signedEstimateText(partials[i]!.offCents, "cents"))),
      ...passes.slice(0, 1).map(({ partials }) => estimateText(partials[i]!.frequencyHz, "frequency")),
    ]),
  };
}
