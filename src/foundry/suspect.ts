import type { TapMeasurement } from "../measurement/index.ts";

/** Findings on the bell itself that leave its frequencies and sizes as they are. */
const HARMLESS = new Set(["warble", "tuning"]);

/**
 * What a plan must say of the measurement that it stands on: everything in it that asks for attention and touches the numbers
 * taken from it. Null where there is nothing.
 *
 * @param whose whose measurement it is, as a sentence begins: "The measured bell's"
 */
export function suspectNote({ fit, findings }: TapMeasurement, whose: string): string | null {
  const titles = findings
    .filter(({ id, outcome }) => outcome === "attention" && !HARMLESS.has(id))
    .map(({ title }) => title);
  if (!fit.freeDecay && !findings.some(({ id, outcome }) => id === "free-decay" && outcome === "attention")) {
    titles.unshift("The ring-down is not a free decay");
  }
  if (titles.length === 0) return null;
  return `${whose} measurement asks for attention (${titles.join("; ")}): trust what follows from it less than the intervals say, or record the bell again.`;
}
