import { InvalidPlanError } from "./error.ts";

/** A quantity as the user wrote it: in SI, with half a unit of the last digit written. */
export interface Written {
  value: number;
  resolution: number;
}

type Units = Record<string, number>;

/** Beyond anything that is cast, weighed or measured, in SI; what is written with more digits is a slip of the keyboard. */
const LARGEST = 1e9;

function within(text: string, written: Written): Written {
  if (Math.abs(written.value) <= LARGEST) return written;
  const shown = text.length > 40 ? `${text.slice(0, 40)}...` : text;
  throw new InvalidPlanError(`"${shown}" is beyond anything that is cast; check the number and its unit`);
}

/** Exact by definition: pound 0.45359237 kg, inch 25.4 mm (international yard and pound agreement, 1959). */
const MASS_KG: Units = { kg: 1, g: 1e-3, t: 1e3, lb: 0.45359237, lbs: 0.45359237, oz: 0.45359237 / 16 };
const LENGTH_M: Units = { mm: 1e-3, cm: 1e-2, m: 1, in: 0.0254, ft: 0.3048 };
const VOLUME_M3: Units = {
  mm3: 1e-9,
  cm3: 1e-6,
  ml: 1e-6,
  l: 1e-3,
  m3: 1,
  in3: 0.0254 ** 3,
  ft3: 0.3048 ** 3,
};

const DENSITY_KG_M3: Units = { "kg/m3": 1, "g/cm3": 1000, "lb/in3": 0.45359237 / 0.0254 ** 3 };
/** Exact by definition but for the pound-force: 4.4482216152605 N. */
const MODULUS_GPA: Units = { GPa: 1, MPa: 1e-3, ksi: (4.4482216152605 / 0.0254 ** 2) * 1e-6 };

function parse(text: string, units: Units, what: string, example: string): Written {
  const match = /^\s*(\d+(?:\.(\d*))?|\.(\d+))\s*([a-zA-Z][a-zA-Z0-9³/]*)\s*$/.exec(text);
  const unit = match?.[4]?.replace("³", "3") ?? "";
  const factor = Object.hasOwn(units, unit) ? units[unit] : undefined;
  if (match === null || factor === undefined) {
    throw new InvalidPlanError(
      `"${text}" is not ${what}; write a number with a decimal point and a unit (${Object.keys(units).join(", ")}), for example ${example}`,
    );
  }
  const decimals = (match[2] ?? match[3] ?? "").length;
  return within(text, { value: Number(match[1]) * factor, resolution: 0.5 * 10 ** -decimals * factor });
}

/** "12kg", "812 g", "26.5lb". @throws InvalidPlanError without a number and a unit of mass. */
export function parseMassKg(text: string): Written {
  return parse(text, MASS_KG, "a mass", "12.5kg or 27.6lb");
}

/** Whether a quantity is written in a unit of mass. */
export function isMass(text: string): boolean {
  return Object.hasOwn(MASS_KG, /[a-zA-Z]*\s*$/.exec(text)![0].trim());
}

/** "120mm", "4.75in". @throws InvalidPlanError without a number and a unit of length. */
export function parseLengthM(text: string): Written {
  return parse(text, LENGTH_M, "a length", "120mm or 4.75in");
}

/** "1370cm3", "83.6in3". @throws InvalidPlanError without a number and a unit of volume. */
export function parseVolumeM3(text: string): Written {
  return parse(text, VOLUME_M3, "a volume", "1370cm3 or 83.6in3");
}

/** "8700kg/m3", "0.314lb/in3". @throws InvalidPlanError without a number and a unit of density. */
export function parseDensityKgM3(text: string): Written {
  return parse(text, DENSITY_KG_M3, "a density", "8700kg/m3 or 0.314lb/in3");
}

/** "97GPa", "14000ksi", in gigapascals. @throws InvalidPlanError without a number and a unit of stress. */
export function parseModulusGPa(text: string): Written {
  return parse(text, MODULUS_GPA, "a modulus", "97GPa or 14000ksi");
}

/** "1%" as a fraction. @throws InvalidPlanError unless it is a number followed by %. */
export function parsePercent(text: string): Written {
  const match = /^\s*(\d+(?:\.(\d*))?|\.(\d+))\s*%\s*$/.exec(text);
  if (match === null) {
    throw new InvalidPlanError(`"${text}" is not a percentage; write a number and %, for example 1.5%`);
  }
  const decimals = (match[2] ?? match[3] ?? "").length;
  return within(text, { value: Number(match[1]) / 100, resolution: 0.005 * 10 ** -decimals });
}

/** "20C" or "68F" in degrees Celsius, below zero too. @throws InvalidPlanError otherwise. */
export function parseTemperatureC(text: string): Written {
  const match = /^\s*(-?\d+(?:\.(\d*))?)\s*°?\s*([CF])\s*$/.exec(text);
  if (match === null) {
    throw new InvalidPlanError(
      `"${text}" is not a temperature; write degrees and C or F, for example 20C or 68F`,
    );
  }
  const degrees = Number(match[1]);
  const resolution = 0.5 * 10 ** -(match[2] ?? "").length;
  const value = match[3] === "C" ? degrees : (degrees - 32) / 1.8;
  if (value < -273.15) throw new InvalidPlanError(`"${text}" is below absolute zero; check the sign`);
  return within(text, { value, resolution: match[3] === "C" ? resolution : resolution / 1.8 });
}

/** "1.5%", or as contraction rules are marked, "3/16in/ft"; a fraction of the casting's length. */
export function parseContraction(text: string): Written {
  const match = /^\s*(\d+)\/(\d+)\s*in\s*\/\s*ft\s*$/.exec(text);
  if (match === null) return parsePercent(text);
  const [, over, under] = match.map(Number);
  if (under === 0) throw new InvalidPlanError(`"${text}" divides by nothing; write for example 3/16in/ft`);
  return within(text, { value: over! / under! / 12, resolution: 0.5 / under! / 12 });
}

/** Metres in one of the units that a mesh may be drawn in. @throws InvalidPlanError for another word. */
export function metresPer(unit: string): number {
  if (Object.hasOwn(LENGTH_M, unit)) return LENGTH_M[unit]!;
  throw new InvalidPlanError(`"${unit}" is not a unit of length; write ${Object.keys(LENGTH_M).join(", ")}`);
}
