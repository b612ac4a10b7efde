import type { CastElasticity, Written } from "../../foundry/index.ts";
import type { Estimate } from "../../measurement/index.ts";
import type { Ripple } from "../../shape/index.ts";
import { CliError } from "../exit.ts";
import { FORCE_OPTION, JSON_OPTION, QUIET_OPTION } from "../options.ts";
import type { ResultFlags } from "../results.ts";
import type { ArgumentSpec, OptionSpec } from "../spec.ts";
import { asMeasured, type Foundry, optional, readAs, textOption } from "./plan-options.ts";

/** Options that the forecast commands share, and how their values are read. */

export interface ForecastFlags extends ResultFlags {
  alloy?: string;
  young?: string;
  density?: string;
  poisson?: string;
  unit?: string;
  contraction?: string;
  ridges?: string[];
  heldCrown?: string;
  harmonics?: string;
  walls?: string;
}

export const PROFILE_ARGUMENT: ArgumentSpec = {
  name: "PROFILE",
  description: "the bell's walls: CSV or JSON, a 3D pattern as STL, a half section as SVG or DXF",
  completes: "file",
};

export const BODY_OPTIONS: OptionSpec[] = [
  textOption("alloy", "ALLOY", "what it is cast in, as in Cu80Sn20 (default: Cu80Sn20)"),
  textOption("young", "MODULUS", "Young's modulus where you know it better, as in 97GPa"),
  textOption("density", "DENSITY", "density where you know it better, as in 8700kg/m3"),
  textOption("poisson", "NUMBER", "Poisson's ratio where you know it better, as in 0.34"),
  textOption("unit", "UNIT", "what one unit of PROFILE is, as in mm or in; an STL needs it"),
  textOption(
    "contraction",
    "PERCENT",
    "PROFILE is the pattern's, larger than the casting by this, as in 1.5%; 0% where it is the casting's",
  ),
  textOption(
    "ridges",
    "K:LENGTH",
    "K ridges around the outer wall and how far they stand out of its mean, as in 12:0.4mm; repeatable",
    true,
  ),
  textOption("held-crown", "LENGTH", "the crown is held within this radius, as in 20mm (default: free)"),
  textOption("harmonics", "FROM-TO", "waves around to compute, as in 2-6 (default: 0-12)"),
  textOption("walls", "PERCENT", "the walls were measured on the casting to within this, as in 0.5%"),
];

export const RESULT_OPTIONS: OptionSpec[] = [JSON_OPTION, FORCE_OPTION, QUIET_OPTION];

export const WALLS = ["inner", "outer"] as const;

export const ONLY_OPTION: OptionSpec = {
  ...textOption("only", "WALL", "change this wall alone: inner, outer or both (default: inner)"),
  completes: [...WALLS, "both"],
};

/** @throws CliError */
export function wallsOf(only: string | undefined): ("inner" | "outer")[] {
  if (only === undefined) return ["inner"];
  if (only === "both") return ["outer", "inner"];
  const wall = WALLS.find((each) => each === only);
  if (wall === undefined) throw new CliError(`--only takes inner, outer or both, not "${only}"`);
  return [wall];
}

/** The alloy taken where none is named. */
const USUAL_ALLOY = "Cu80Sn20";
/** A copper alloy or any other metal a bell was ever cast in. */
const POISSON_RANGE = { low: 0, high: 0.49 };

/** What the pitch rests on: by the data sheets, and what the user knows better. @throws CliError */
export function metalOf(flags: ForecastFlags, foundry: Foundry): CastElasticity {
  const young = optional("--young", flags.young, foundry.parseModulusGPa);
  const density = optional("--density", flags.density, foundry.parseDensityKgM3);
  const poisson = flags.poisson === undefined ? null : poissonOf(flags.poisson);
  const alloy = readAs("--alloy", () => foundry.parseComposition(flags.alloy ?? USUAL_ALLOY));
  if (young !== null && density !== null && poisson !== null && flags.alloy === undefined) {
    return {
      youngGPa: known("--young", young),
      densityKgM3: known("--density", density),
      poisson: asMeasured(poisson),
      source: "as given",
    };
  }
  const sheet = readAs("--alloy", () => foundry.castElasticity(alloy));
  const given = [
    ...(young === null ? [] : ["Young's modulus"]),
    ...(density === null ? [] : ["density"]),
    ...(poisson === null ? [] : ["Poisson's ratio"]),
  ];
  return {
    youngGPa: young === null ? sheet.youngGPa : known("--young", young),
    densityKgM3: density === null ? sheet.densityKgM3 : known("--density", density),
    poisson: poisson === null ? sheet.poisson : asMeasured(poisson),
    source: `${flags.alloy === undefined ? "no alloy was named, so this is taken: " : ""}${sheet.source}${
      given.length === 0 ? "" : `; ${given.join(" and ")} as given`
    }`,
  };
}

function known(option: string, written: Written): Estimate {
  if (!(written.value > 0)) throw new CliError(`${option} must be more than nothing`);
  return asMeasured(written);
}

function poissonOf(text: string): Written {
  const match = /^\s*(0?\.(\d+)|0)\s*$/.exec(text);
  const value = Number(text);
  if (match === null || !(value >= POISSON_RANGE.low && value <= POISSON_RANGE.high)) {
    throw new CliError(`--poisson takes a number between 0 and 0.49, as in 0.34, not "${text}"`);
  }
  return { value, resolution: 0.5 * 10 ** -(match[2] ?? "").length };
}

/** `12:0.4mm`. @throws CliError */
export function ridgesOf(texts: string[] | undefined, foundry: Foundry): Ripple[] {
  return (texts ?? []).map((text) => {
    const [count, height, ...rest] = text.split(":");
    if (!/^\d{1,3}$/.test(count ?? "") || Number(count) < 2 || height === undefined || rest.length > 0) {
      throw new CliError(
        `--ridges takes how many and how far they stand out, as in --ridges 12:0.4mm, not "${text}"`,
      );
    }
    // A bare number is millimetres, as the profile is.
    const length = /^[\d.]+$/.test(height.trim()) ? `${height.trim()}mm` : height;
    const amplitudeM = readAs("--ridges", () => foundry.parseLengthM(length)).value;
    return { wall: "outer", count: Number(count), amplitudeM, phaseRad: 0 };
  });
}

const MOST_WAVES = 24;

/** `2-6` or `0-12`. @throws CliError */
export function harmonicsOf(text: string): number[] {
  const match = /^\s*(\d{1,2})\s*(?:-\s*(\d{1,2}))?\s*$/.exec(text);
  const from = Number(match?.[1]);
  const to = Number(match?.[2] ?? match?.[1]);
  if (match === null || from > to || to > MOST_WAVES) {
    throw new CliError(`--harmonics takes waves from 0 to ${MOST_WAVES}, as in 2-6, not "${text}"`);
  }
  return Array.from({ length: to - from + 1 }, (_, i) => from + i);
}

/** A length where a bare number is millimetres. @throws CliError */
export function lengthOf(option: string, text: string, foundry: Foundry): number {
  const written = /^[\d.]+$/.test(text.trim()) ? `${text.trim()}mm` : text;
  return readAs(option, () => foundry.parseLengthM(written)).value;
}
