import type { Estimate } from "../../measurement/index.ts";
import { estimateText } from "../numbers.ts";

/** What the reader measures and weighs in. */
export type UnitSystem = "metric" | "us";

/** Exact by definition: the international pound and inch of 1959. */
const KG_PER_LB = 0.45359237;
const OZ_PER_LB = 16;
const M_PER_IN = 0.0254;

const scaled = ({ value, ci95 }: Estimate, by: number): Estimate => ({ value: value * by, ci95: ci95 * by });

/** "12.03 ± 0.16 kg", or pounds; the dash for null. */
export function massText(massKg: Estimate | null, units: UnitSystem): string {
  if (massKg === null) return estimateText(null, "other");
  if (units === "us") return estimateText(scaled(massKg, 1 / KG_PER_LB), "other", "lb");
  return massKg.value < 1
    ? estimateText(scaled(massKg, 1000), "other", "g")
    : estimateText(massKg, "other", "kg");
}

/** "120.0 ± 1.2 mm", or inches; the dash for null. */
export function lengthText(lengthM: Estimate | null, units: UnitSystem): string {
  if (lengthM === null) return estimateText(null, "other");
  return units === "us"
    ? estimateText(scaled(lengthM, 1 / M_PER_IN), "other", "in")
    : estimateText(scaled(lengthM, 1000), "other", "mm");
}

/** "94.2 ± 0.7 cm³", or cubic inches. */
export function volumeText(volumeM3: Estimate, units: UnitSystem): string {
  return units === "us"
    ? estimateText(scaled(volumeM3, M_PER_IN ** -3), "other", "in³")
    : estimateText(scaled(volumeM3, 1e6), "other", "cm³");
}

/** "8620 ± 60 kg/m³", or pounds to the cubic inch. */
export function densityText(densityKgM3: Estimate, units: UnitSystem): string {
  return units === "us"
    ? estimateText(scaled(densityKgM3, M_PER_IN ** 3 / KG_PER_LB), "other", "lb/in³")
    : estimateText(densityKgM3, "other", "kg/m³");
}

/** "20 °C", or Fahrenheit. */
export function temperatureText(temperatureC: number, units: UnitSystem): string {
  const degrees = units === "us" ? temperatureC * 1.8 + 32 : temperatureC;
  return `${Number(degrees.toFixed(1))}\u00a0°${units === "us" ? "F" : "C"}`;
}

/** Below this a kitchen or shop balance is read in grams. */
const IN_GRAMS_KG = 2;
/** Below this, five pounds, tenths of an ounce would be too coarse. */
const IN_OUNCES_KG = 5 * KG_PER_LB;

/**
 * Writes masses to be weighed out, all of one table in one unit: kilograms to the gram, or grams to the tenth where
 * the whole is below 2 kg; pounds and ounces to the tenth, or ounces to the hundredth below 5 lb. Set values carry no
 * interval.
 */
export function weighOut(totalKg: number, units: UnitSystem): (massKg: number) => string {
  if (units === "us") return totalKg < IN_OUNCES_KG ? ounces : poundsAndOunces;
  if (totalKg < IN_GRAMS_KG) return (massKg) => `${(massKg * 1000).toFixed(1)}\u00a0g`;
  return (massKg) => `${massKg.toFixed(3)}\u00a0kg`;
}

function ounces(massKg: number): string {
  return `${((massKg / KG_PER_LB) * OZ_PER_LB).toFixed(2)}\u00a0oz`;
}

function poundsAndOunces(massKg: number): string {
  const tenths = Math.round((massKg / KG_PER_LB) * OZ_PER_LB * 10);
  const pounds = Math.floor(tenths / (OZ_PER_LB * 10));
  const rest = (tenths - pounds * OZ_PER_LB * 10) / 10;
  return `${pounds}\u00a0lb\u00a0${rest.toFixed(1)}\u00a0oz`;
}
