import {
  type ChargeResult,
  type Composition,
  formatComposition,
  RESIDUAL_SOURCE,
} from "../../foundry/index.ts";
import type { PlanSheet, SheetTable } from "./sheet.ts";
import { densityText, massText, type UnitSystem, volumeText, weighOut } from "./units.ts";

/** Every charge is checked against the real heat by what no arithmetic knows. */
const PRACTICE =
  "Melt copper and copper-rich returns first, tin last and not long before pouring, so that less of it burns off (common practice, no source).";

/** The table to take to the furnace. */
export function chargeSheet(charge: ChargeResult, units: UnitSystem): PlanSheet {
  const alloy = formatComposition(charge.wanted);
  const write = weighOut(charge.totalKg ?? charge.pouredKg, units);
  const made = charge.totalKg !== null;
  return {
    title: `Charge for ${write(charge.castingKg)} of ${alloy}`,
    lead: made
      ? [
          `Weigh out ${write(charge.totalKg!)} in all: ${write(charge.castingKg)} casting and ${write(charge.feedingKg)} feeding system are poured, ${lossText(charge, write)}.`,
        ]
      : [`This charge cannot be made: ${write(charge.pouredKg)} of ${alloy} are to be poured.`],
    attention: charge.cannot,
    tables: made ? [itemsTable(charge, write), ...returnsTable(charge, write)] : [],
    notes: made ? notesOf(charge, units) : [],
    sources: made ? sourcesOf(charge, units) : [],
    cautions: "always",
  };
}

function lossText({ lostKg }: ChargeResult, write: (massKg: number) => string): string {
  const lost = Object.entries(lostKg).map(([symbol, massKg]) => `${write(massKg)} ${symbol}`);
  return lost.length > 0 ? `${lost.join(" and ")} melt away` : "no melting loss is counted";
}

/** "Cu 80, Sn 20": the part of each element in per cent, for a table. */
function partsText(composition: Composition): string {
  return Object.entries(composition)
    .map(([symbol, fraction]) => `${symbol}\u00a0${Number((fraction * 100).toFixed(2))}`)
    .join(", ");
}

function itemsTable(charge: ChargeResult, write: (massKg: number) => string): SheetTable {
  const total = charge.totalKg!;
  const share = (massKg: number): string => `${((100 * massKg) / total).toFixed(2)}\u00a0%`;
  return {
    caption: "Weigh out, and tick off what is in the crucible.",
    head: ["metal", "weigh out", "part of the charge", "holds, %", "in"],
    rows: [
      ...charge.items.map(({ name, massKg, composition }) => [
        name,
        write(massKg),
        share(massKg),
        partsText(composition),
        "☐",
      ]),
      ["in all", write(total), "100 %", "", ""],
      ["poured", write(charge.pouredKg), "", partsText(charge.pouredComposition!), ""],
    ],
    words: [3, 4],
  };
}

function returnsTable({ returns }: ChargeResult, write: (massKg: number) => string): SheetTable[] {
  if (returns.length === 0) return [];
  return [
    {
      caption: "Returns used and left.",
      head: ["return", "used", "left", "why"],
      rows: returns.map(({ name, usedKg, leftKg, why }) => [name, write(usedKg), write(leftKg), why ?? ""]),
      words: [3],
    },
  ];
}

function notesOf(charge: ChargeResult, units: UnitSystem): string[] {
  const { volume, cost, crucible, newMetalKg } = charge;
  const notes = [PRACTICE];
  if (volume !== null) {
    notes.push(
      `The casting is reckoned from ${volumeText(volume.volumeM3, units)} at ${densityText(volume.densityKgM3, units)}, which is ${massText(volume.massKg, units)}. To be sure of a full mould, plan with the upper end by giving it as the mass.`,
    );
  }
  if (crucible !== null)
    notes.push(`It fits the crucible's ${weighOut(crucible.capacityKg, units)(crucible.capacityKg)}.`);
  if (charge.returns.length > 0) {
    const write = weighOut(charge.totalKg!, units);
    notes.push(
      cost === null
        ? `No mix of these returns needs less new metal than ${write(newMetalKg!)}.`
        : `No mix at these prices is cheaper than ${cost.toFixed(2)}.`,
    );
  }
  if (Object.keys(charge.lostKg).length === 0) {
    notes.push(
      "Tin burns off as it melts; weigh what you get back, and give its loss the next time (common practice, no source).",
    );
  }
  return notes;
}

function sourcesOf({ volume, returns }: ChargeResult, units: UnitSystem): string[] {
  const sources = ["Mass balance of each element, after melting loss."];
  if (volume !== null) {
    sources.push(
      `Density ${densityText(volume.densityKgM3, units)}: ideal mixing and data sheets (${volume.sheets.join(", ") || "none near"}).`,
    );
  }
  if (returns.length > 0)
    sources.push(`Limits of what the recipe does not name: ${RESIDUAL_SOURCE}, or as given.`);
  return sources;
}
