import type { ReviewResult } from "../../foundry/index.ts";
import { type Estimate, quantityOf } from "../../measurement/index.ts";
import { estimateText, NOT_MEASURED, signedEstimateText } from "../numbers.ts";
import type { PlanSheet, SheetTable } from "./sheet.ts";
import { lengthText, massText, type UnitSystem } from "./units.ts";

const MOST_PARTIALS = 12;

/** A casting beside its plan. */
export function reviewSheet(review: ReviewResult, units: UnitSystem): PlanSheet {
  return {
    title: `${review.label || "The casting"} beside its plan`,
    lead: review.text.slice(0, 1),
    attention: [],
    tables: [comparedTable(review, units), causesTable(review)],
    notes: review.text.slice(1),
    sources: [
      "Each cause alone: a size s moves pitch by -s and mass by 3 s; another alloy moves the pitch; a wall w moves pitch by 0.9 w and mass by w (logarithms; laws as in the plan).",
      "Two castings of one pattern differ by 1 % in pitch and 3 % in mass (common practice, no source).",
    ],
    cautions: "never",
  };
}

function comparedTable(review: ReviewResult, units: UnitSystem): SheetTable {
  const { strikeNoteHz, massKg, diameterM, decayRatio, commonCents } = review;
  const partials = review.partials
    .slice(0, MOST_PARTIALS)
    .map(({ name, plannedHz, measuredHz, cents }) => [
      name ?? `near ${plannedHz.value.toFixed(0)} Hz`,
      estimateText(plannedHz, "frequency", "Hz"),
      estimateText(measuredHz, "frequency", "Hz"),
      signedEstimateText(cents, "cents", "cents"),
    ]);
  const rows = [
    ...partials,
    ["all together", NOT_MEASURED, NOT_MEASURED, signedEstimateText(commonCents, "cents", "cents")],
  ];
  if (strikeNoteHz) {
    const { planned, measured, ratio } = strikeNoteHz;
    rows.unshift([
      "strike note",
      estimateText(planned, "frequency", "Hz"),
      estimateText(measured, "frequency", "Hz"),
      centsOf(ratio),
    ]);
  }
  if (massKg) {
    const { planned, measured, ratio } = massKg;
    rows.push([
      "mass",
      massText(planned, units),
      massText(measured, units),
      `× ${estimateText(ratio, "other")}`,
    ]);
  }
  if (diameterM) {
    const { planned, measured, ratio } = diameterM;
    rows.push([
      "diameter",
      lengthText(planned, units),
      lengthText(measured, units),
      `× ${estimateText(ratio, "other")}`,
    ]);
  }
  if (decayRatio)
    rows.push(["decay, median", NOT_MEASURED, NOT_MEASURED, `× ${estimateText(decayRatio, "times")}`]);
  return { caption: "Measured against planned.", head: ["what", "planned", "measured", "difference"], rows };
}

/** A ratio of frequencies in cents. */
function centsOf({ value, ci95 }: Estimate): string {
  const perUnit = 1200 / Math.LN2;
  return signedEstimateText(
    { value: perUnit * Math.log(value), ci95: (perUnit * ci95) / value },
    "cents",
    "cents",
  );
}

function causesTable({ causes }: ReviewResult): SheetTable {
  return {
    caption: "What each cause alone would have to be to explain the pitch, and whether the size agrees.",
    head: ["cause", "it would be", "agrees", "because"],
    rows: causes.map(({ cause, impliedText, implied, unit, agrees, evidence }) => [
      cause,
      `${impliedText} ${estimateText(implied, quantityOf(unit), unit)}`,
      agrees === null ? "not told" : agrees ? "yes" : "no",
      evidence,
    ]),
    words: [1, 2, 3],
  };
}
