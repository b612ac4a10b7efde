import type { Composition, Fractions, MixReturn, Written } from "../../foundry/index.ts";
import type { Estimate } from "../../measurement/index.ts";
import { CliError } from "../exit.ts";
import { FORCE_OPTION, HTML_OPTION, JSON_OPTION, QUIET_OPTION } from "../options.ts";
import type { OptionSpec } from "../spec.ts";

/**
 * Options that the plan commands share, and how their values are read. The arithmetic's own folder is loaded when a
 * plan is made, so values reach the command as text and are read there.
 */

export type Foundry = typeof import("../../foundry/index.ts");

export const UNITS = ["metric", "us"] as const;
export type Units = (typeof UNITS)[number];

const UNITS_OPTION: OptionSpec = {
  name: "units",
  value: "UNITS",
  description: "metric or us: what results are written in; values may be given in either (default: metric)",
  completes: UNITS,
  parse(text) {
    if ((UNITS as readonly string[]).includes(text)) return text;
    throw new CliError(`--units takes ${UNITS.join(" or ")}, not "${text}"`);
  },
};

export const PLAN_OPTIONS: OptionSpec[] = [
  { ...HTML_OPTION, description: "write the sheet to print, one HTML file (- for standard output)" },
  JSON_OPTION,
  UNITS_OPTION,
  FORCE_OPTION,
  QUIET_OPTION,
];

/** An option with a value that is read when the plan is made. */
export function textOption(name: string, value: string, description: string, repeatable = false): OptionSpec {
  return { name, value, description, completes: null, ...(repeatable ? { repeatable } : {}) };
}

export const LOSS_OPTION = textOption(
  "loss",
  "EL=PERCENT",
  "of this element charged, what melts away, as in Sn=1%; repeatable",
  true,
);

export const ALLOW_OPTION = textOption(
  "allow",
  "EL=PERCENT",
  "how much the casting may carry of an element that the alloy does not name, as in Zn=0.5%; repeatable (default: limits of C91300, from memory)",
  true,
);

export const CRUCIBLE_OPTION = textOption(
  "crucible",
  "MASS",
  "metal that the crucible holds, as in 15kg or 33lb",
);

/** Runs a reader of the arithmetic's folder; what it refuses is told with the option's name. */
export function readAs<T>(option: string, read: () => T): T {
  try {
    return read();
  } catch (error) {
    if (error instanceof Error && error.name === "InvalidPlanError") {
      throw new CliError(`${option}: ${error.message}`);
    }
    throw error;
  }
}

/** The same for a value that may be absent. */
export function optional<T>(option: string, text: string | undefined, read: (text: string) => T): T | null {
  return text === undefined ? null : readAs(option, () => read(text));
}

/** The same for a value that must be there. @throws CliError naming the option and an example */
export function required<T>(
  option: string,
  text: string | undefined,
  example: string,
  read: (text: string) => T,
): T {
  if (text === undefined) throw new CliError(`${option} is needed, for example ${option} ${example}`);
  return readAs(option, () => read(text));
}

/** A size or weight as measured: surer than half a unit of its last digit it is not. */
export function asMeasured({ value, resolution }: Written): Estimate {
  return { value, ci95: resolution };
}

/** `Sn=1%` pairs as fractions by symbol. @throws CliError for a repeated or unknown element */
export function readFractions(option: string, texts: string[] | undefined, foundry: Foundry): Fractions {
  const fractions: Record<string, number> = {};
  for (const text of texts ?? []) {
    const [symbol, percent, ...rest] = text.split("=");
    if (percent === undefined || rest.length > 0) {
      throw new CliError(`${option} takes an element and a percentage, as in ${option} Sn=1%, not "${text}"`);
    }
    readAs(option, () => foundry.elementOf(symbol!));
    if (symbol! in fractions) throw new CliError(`${option} names ${symbol} twice; keep one of them`);
    fractions[symbol!] = readAs(option, () => foundry.parsePercent(percent)).value;
  }
  return fractions;
}

/** `10kg:Cu90Sn10`. @throws CliError */
export function readMetal(
  option: string,
  text: string,
  foundry: Foundry,
): { massKg: number; composition: Composition } {
  const parts = text.split(":");
  if (parts.length !== 2) {
    throw new CliError(
      `${option} takes a mass and a composition, as in ${option} 10kg:Cu90Sn10, not "${text}"`,
    );
  }
  const [mass, formula] = parts;
  return {
    massKg: readAs(option, () => foundry.parseMassKg(mass!)).value,
    composition: readAs(option, () => foundry.parseComposition(formula!)),
  };
}

/** `name:5kg:Cu88Sn10Zn2`; the name may hold colons. @throws CliError */
export function readReturn(text: string, foundry: Foundry): MixReturn {
  const parts = text.split(":");
  const name = parts.slice(0, -2).join(":").trim();
  if (parts.length < 3 || name === "") {
    throw new CliError(
      `--return takes a name, a mass and a composition, as in --return gates:5kg:Cu80Sn20, not "${text}"`,
    );
  }
  return { name, ...readMetal("--return", parts.slice(-2).join(":"), foundry) };
}
