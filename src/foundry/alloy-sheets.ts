import type { Estimate } from "../measurement/index.ts";
import { type Composition, compositionDistance, fractionOf } from "./composition.ts";
import data from "./data/alloys.json" with { type: "json" };
import { spanning } from "./estimate.ts";
import { mixtureDensityKgM3 } from "./mixture.ts";

export interface SheetReading {
  densityKgM3: number | null;
  youngsModulusGPa: number | null;
  /** "read" or "from memory". */
  status: string;
  /** Where it differs from the data file's own source. */
  source?: string;
}

/** What data sheets say of one standard alloy; several readings where they disagree. */
export interface AlloySheet {
  id: string;
  name: string;
  composition: Composition;
  readings: SheetReading[];
  expansionPerK: number | null;
}

/** The published sheets, copper making up the rest of each composition. */
export const ALLOY_SHEETS: readonly AlloySheet[] = data.alloys.map(({ percent, ...sheet }) => {
  const named = Object.entries(percent).filter((entry): entry is [string, number] => entry[1] !== undefined);
  const composition: Record<string, number> = { Cu: 1 };
  for (const [symbol, value] of named) {
    composition[symbol] = value / 100;
    composition.Cu! -= value / 100;
  }
  return { ...sheet, composition };
});

export type AlloyFamily = "tin bronze" | "aluminium bronze" | "silicon bronze" | "brass";

/** The family of copper alloys that a composition belongs to for its pattern and its sound; null for none. */
export function alloyFamilyOf(composition: Composition): AlloyFamily | null {
  const of = (symbol: string): number => fractionOf(composition, symbol);
  if (of("Cu") < 0.5) return null;
  if (of("Al") >= 0.04) return "aluminium bronze";
  if (of("Si") >= 0.01) return "silicon bronze";
  if (of("Sn") >= 0.05 && of("Sn") <= 0.25 && of("Cu") + of("Sn") >= 0.945) return "tin bronze";
  if (of("Zn") >= 0.1 && of("Zn") > of("Sn")) return "brass";
  return null;
}

/** A sheet speaks for compositions that differ from its own by no more than this mass fraction. */
const NEAR = 0.05;
/** No density from sheets or handbooks is trusted closer than this (judgement, no source). */
const LEAST_RELATIVE = 0.005;
/** Ideal mixing alone: aluminium bronzes listed on sheets are up to 4.7 % denser than it. */
const MIXTURE_ONLY_RELATIVE = 0.05;

/** Sheets of the same family near a composition, nearest first. */
export function sheetsNear(composition: Composition): AlloySheet[] {
  const family = alloyFamilyOf(composition);
  const distance = (sheet: AlloySheet): number => compositionDistance(sheet.composition, composition);
  return ALLOY_SHEETS.filter(
    (sheet) => alloyFamilyOf(sheet.composition) === family && distance(sheet) <= NEAR + 1e-9,
  ).sort((a, b) => distance(a) - distance(b));
}

/**
 * Density of a sound casting: the middle between ideal mixing and all data sheets of nearby alloys, with an
 * interval that reaches every one of them.
 *
 * @returns the density, and the sheets that spoke
 */
export function castDensityKgM3(composition: Composition): { densityKgM3: Estimate; sheets: string[] } {
  const mixture = mixtureDensityKgM3(composition);
  const sheets = sheetsNear(composition);
  const listed = sheets.flatMap((sheet) => sheet.readings.flatMap((reading) => reading.densityKgM3 ?? []));
  if (listed.length === 0) {
    return { densityKgM3: { value: mixture, ci95: mixture * MIXTURE_ONLY_RELATIVE }, sheets: [] };
  }
  const middle = spanning(Math.min(mixture, ...listed), Math.max(mixture, ...listed));
  return {
    densityKgM3: { value: middle.value, ci95: Math.max(middle.ci95, middle.value * LEAST_RELATIVE) },
    sheets: sheets.map((sheet) => sheet.id),
  };
}
