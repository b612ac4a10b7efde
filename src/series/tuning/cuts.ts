import { centsBetween, minus, SD_TO_CI95 } from "../cents.ts";
import { JUDGEMENT } from "../judgement.ts";
import type { SeriesBellResult, SeriesPartial } from "../result.ts";
import type { Cut } from "./slope.ts";

export type Unit = "g" | "mm";

/** A bell as far as its cuts go. */
export type CutBell = Pick<
  SeriesBellResult,
  "name" | "targetHz" | "alloy" | "massKg" | "diameterMm" | "passes"
>;

/** What was taken off between two measured passes, at one place and in one unit. */
interface Step {
  at: string;
  unit: Unit;
  amount: number;
  before: SeriesPartial[];
  after: SeriesPartial[];
}

/**
 * The cuts of a bell between its measured passes. A pass that could not be measured lends its cut to the next one, if
 * both were made at one place and told in one unit; what cannot be told apart is left out, and so is a pass of which
 * nothing is said to have been removed.
 */
function stepsOf(bell: CutBell): Step[] {
  const steps: Step[] = [];
  let before: SeriesPartial[] | null = null;
  let pending: { at: string; unit: Unit; amount: number }[] = [];
  for (const { measured, partials, removedG, removedMm, at } of bell.passes) {
    const amount = removedG ?? removedMm ?? 0;
    if (amount > 0 && at !== null) pending.push({ at, unit: removedG === null ? "mm" : "g", amount });
    if (!measured) continue;
    const [first] = pending;
    if (before !== null && first && pending.every((cut) => cut.at === first.at && cut.unit === first.unit)) {
      const total = pending.reduce((sum, cut) => sum + cut.amount, 0);
      steps.push({ at: first.at, unit: first.unit, amount: total, before, after: partials });
    }
    before = partials;
    pending = [];
  }
  return steps;
}

/** Whether cuts on one bell tell something of another: one alloy (or none told), strike notes not too far apart. */
function isSimilar(a: CutBell, b: CutBell): boolean {
  const alike = (a.alloy ?? "").trim().toLowerCase() === (b.alloy ?? "").trim().toLowerCase();
  return alike && Math.abs(centsBetween(a.targetHz, b.targetHz)) <= JUDGEMENT.similarWithinCents + 0.5;
}

/**
 * An amount on `bell` that does the same as one unit on `other`, for bells of one shape: grams as the masses, or as the
 * cube of the size; millimetres as the sizes. Sizes are the diameters where both are told, else one over the strike note.
 */
function unitRatio(bell: CutBell, other: CutBell, unit: Unit): number {
  if (unit === "g" && bell.massKg !== null && other.massKg !== null) return bell.massKg / other.massKg;
  const size =
    bell.diameterMm !== null && other.diameterMm !== null
      ? bell.diameterMm / other.diameterMm
      : other.targetHz / bell.targetHz;
  return unit === "g" ? size ** 3 : size;
}

/** All that is known of one place on one bell: the cuts on it and on similar bells, a list for each partial. */
export interface PlaceHistory {
  at: string;
  unit: Unit;
  /** The largest cut, in this bell's measure. */
  largest: number;
  cuts: Map<string, Cut[]>;
}

/** The places where this bell or similar ones were cut. */
export function placesOf(bell: CutBell, bells: readonly CutBell[]): PlaceHistory[] {
  const places = new Map<string, PlaceHistory>();
  for (const other of bells) {
    if (!isSimilar(bell, other)) continue;
    for (const step of stepsOf(other)) {
      const key = `${step.unit} ${step.at}`;
      const place = places.get(key) ?? { at: step.at, unit: step.unit, largest: 0, cuts: new Map() };
      places.set(key, place);
      const amount = step.amount * unitRatio(bell, other, step.unit);
      place.largest = Math.max(place.largest, amount);
      for (const after of step.after) {
        const before = step.before.find(({ name }) => name === after.name);
        if (before === undefined) continue;
        const change = minus(after.deviationCents, before.deviationCents);
        const list = place.cuts.get(after.name) ?? [];
        place.cuts.set(after.name, list);
        list.push({
          bell: other.name,
          amount,
          changeCents: change.value,
          variance: (change.ci95 ** 2 + JUDGEMENT.repeatabilityCents ** 2) / SD_TO_CI95 ** 2,
        });
      }
    }
  }
  return [...places.values()];
}
