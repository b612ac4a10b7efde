import { CliError } from "./exit.ts";
import type { OptionSpec } from "./spec.ts";

/** Options that several commands share, and the readers of their values. */

/** Understood by every command, before or after its name. */
export const GLOBAL_OPTIONS: OptionSpec[] = [
  {
    name: "no-color",
    value: null,
    description: "plain text, as NO_COLOR and TERM=dumb ask too",
    completes: null,
  },
];

export const HTML_OPTION: OptionSpec = {
  name: "html",
  value: "FILE",
  description: "write the report, one self-contained HTML file (- for standard output)",
  completes: "file",
};

export const JSON_OPTION: OptionSpec = {
  name: "json",
  value: "FILE",
  description: "write the result as JSON (- for standard output)",
  completes: "file",
};

export const FORCE_OPTION: OptionSpec = {
  name: "force",
  value: null,
  description: "replace files that are already there",
  completes: null,
};

export const QUIET_OPTION: OptionSpec = {
  name: "quiet",
  value: null,
  description: "no summary and no progress line; errors and warnings are still said",
  completes: null,
};

export const LABEL_OPTION: OptionSpec = {
  name: "label",
  value: "TEXT",
  description: "what you call this casting (default: the name of the first recording)",
  completes: null,
};

/** Concert pitch has lain between about 380 and 480 Hz; wider than that is a slip of the keyboard. */
export const A4_OPTION: OptionSpec = {
  name: "a4",
  value: "HZ",
  description: "the A that notes and cents are counted from, in hertz (default: 440)",
  completes: null,
  parse: (text) => numberWithin(text, "--a4", 300, 600, "hertz"),
};

/** Results are the same with any number of them. */
export const WORKERS_OPTION: OptionSpec = {
  name: "workers",
  value: "N",
  description: "measure so many recordings or strikes at once (default: one on each core)",
  completes: null,
  parse: (text) => wholeWithin(text, "--workers", 1, 256),
};

/** A finite decimal number within [low, high], or a CliError that names the option. */
export function numberWithin(text: string, option: string, low: number, high: number, unit: string): number {
  const value = plainNumber(text);
  if (value === null || value < low || value > high) {
    throw new CliError(`${option} takes ${unit} between ${low} and ${high}, not "${text}"`);
  }
  return value;
}

/** A whole number within [low, high], or a CliError that names the option. */
export function wholeWithin(text: string, option: string, low: number, high: number): number {
  const value = plainNumber(text);
  if (value === null || !Number.isInteger(value) || value < low || value > high) {
    throw new CliError(`${option} takes a whole number between ${low} and ${high}, not "${text}"`);
  }
  return value;
}

/** Decimal notation only: no hexadecimal, no "Infinity", no empty text. */
function plainNumber(text: string): number | null {
  return /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i.test(text.trim()) ? Number(text) : null;
}

/** `name=HZ`, e.g. `nominal=1234`. */
export function parsePin(text: string): [name: string, frequencyHz: number] {
  const at = text.lastIndexOf("=");
  const name = text.slice(0, Math.max(at, 0)).trim();
  if (name === "")
    throw new CliError(`--pin takes a partial and its hertz, as in --pin nominal=1234, not "${text}"`);
  return [name, numberWithin(text.slice(at + 1), `--pin ${name}`, 1, 100000, "hertz")];
}
