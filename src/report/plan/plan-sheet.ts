import type { PlanDocument } from "../../foundry/index.ts";
import { chargeSheet } from "./charge-sheet.ts";
import { correctSheet } from "./correct-sheet.ts";
import { densitySheet } from "./density-sheet.ts";
import { reviewSheet } from "./review-sheet.ts";
import { scaleSheet } from "./scale-sheet.ts";
import type { PlanSheet } from "./sheet.ts";
import type { UnitSystem } from "./units.ts";

/** What a plan's document has to say, in the reader's units. */
export function planSheet(
  { scale, charge, correct, density, review }: PlanDocument,
  units: UnitSystem,
): PlanSheet {
  if (scale) return scaleSheet(scale, units);
  if (charge) return chargeSheet(charge, units);
  if (correct) return correctSheet(correct, units);
  if (density) return densitySheet(density, units);
  if (review) return reviewSheet(review, units);
  throw new Error("a plan holds a scale, a charge, a correction, a density or a review");
}
