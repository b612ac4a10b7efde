import type { DensityResult } from "../../foundry/index.ts";
import { estimateText } from "../numbers.ts";
import type { PlanSheet } from "./sheet.ts";
import { densityText, type UnitSystem, volumeText } from "./units.ts";

/** What weighing in air and in water says. */
export function densitySheet(density: DensityResult, units: UnitSystem): PlanSheet {
  const { densityKgM3, volumeM3, tinPercent, tinReason, pointsPerPercentPorosity, porosityPercent } = density;
  const tin =
    tinPercent === null
      ? `It tells no tin content. ${tinReason}`
      : `A sound bronze of copper and tin of this density holds ${estimateText(tinPercent, "percent", "%")} tin; each per cent of pores would read as ${pointsPerPercentPorosity.toFixed(1)} points of tin too much.`;
  return {
    title: "Density by weighing",
    lead: [`The density is ${densityText(densityKgM3, units)}.`, tin],
    attention: [],
    tables: [
      {
        caption: "What the two readings give.",
        head: ["quantity", "value"],
        rows: [
          ["density", densityText(densityKgM3, units)],
          ["volume", volumeText(volumeM3, units)],
          ["tin, if sound and of copper and tin alone", estimateText(tinPercent, "percent", "%")],
          ...(porosityPercent === null
            ? []
            : [["pores, if the alloy is as meant", estimateText(porosityPercent, "percent", "%")]]),
        ],
      },
    ],
    notes: density.notes,
    sources: [
      "Weighing in air and water: ISO 1183-1, method A (from memory); water: Tanaka et al. 2001 (from memory).",
      `Tin: ideal mixing of copper and tin (CRC Handbook, from memory); its interval holds the distance of data sheets from it${tinPercent === null ? "" : ", which outweighs the balance"}.`,
    ],
    cautions: "never",
  };
}
