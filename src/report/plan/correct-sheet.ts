import { type CorrectionResult, formatComposition } from "../../foundry/index.ts";
import { listOf } from "../numbers.ts";
import type { PlanSheet } from "./sheet.ts";
import { type UnitSystem, weighOut } from "./units.ts";

/** What to add to a heat or a wrong casting. */
export function correctSheet(correct: CorrectionResult, units: UnitSystem): PlanSheet {
  const { have, want, add, totalKg, pouredKg, crucible, cannot } = correct;
  const write = weighOut(totalKg ?? have.massKg, units);
  const metal = `${write(have.massKg)} of ${formatComposition(have.composition)}`;
  const attention = [...cannot];
  if (crucible !== null && !crucible.fits) {
    attention.push(
      `It does not fit: the crucible holds ${write(crucible.capacityKg)} and this comes to ${write(totalKg!)}. Correct ${write(crucible.largestHaveKg)} of the metal at most in one heat, with the additions in proportion.`,
    );
  }
  return {
    title: `Correction of ${metal} to ${formatComposition(want)}`,
    lead: [leadOf(correct, write, metal)],
    attention,
    tables:
      totalKg === null
        ? []
        : [
            {
              caption: "Weigh out, and tick off what is in the crucible.",
              head: ["metal", "weigh out", "in"],
              rows: [
                [formatComposition(have.composition), write(have.massKg), "☐"],
                ...add.map(({ name, massKg }) => [name, write(massKg), "☐"]),
                ["in all", write(totalKg), ""],
                ["poured, after melting loss", write(pouredKg!), ""],
              ],
              words: [2],
            },
          ],
    notes: [
      ...(crucible?.fits ? [`It fits the crucible's ${write(crucible.capacityKg)}.`] : []),
      "The correction is as good as the composition it starts from: have a sample analysed, or pour a test piece and break it (common practice, no source).",
    ],
    sources: [
      "Mass balance of each element; metal is only added, so the element most in excess sets the total.",
    ],
    cautions: "always",
  };
}

function leadOf(
  { add, totalKg, cannot }: CorrectionResult,
  write: (massKg: number) => string,
  metal: string,
): string {
  if (cannot.length > 0) return `Adding metal does not correct ${metal}.`;
  if (add.length === 0) return `Nothing is missing: ${metal} is as wanted.`;
  const additions = listOf(add.map(({ name, massKg }) => `${write(massKg)} of ${name}`));
  return `Add ${additions} to ${metal}; that makes ${write(totalKg!)}.`;
}
