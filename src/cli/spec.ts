import type { Context } from "./context.ts";

/**
 * How commands are declared. One table a command: the parser, the help and the shell completion are all made
 * from it, so they cannot disagree.
 */

/** What a shell should offer for a value: file names, fixed words, or nothing. */
export type Completes = "file" | readonly string[] | null;

export interface OptionSpec {
  /** Long name without the dashes; "no-x" declares a switch that sets `x` to false. */
  name: string;
  /** Placeholder of the value in the help, e.g. "HZ"; null for a switch. */
  value: string | null;
  description: string;
  completes: Completes;
  repeatable?: boolean;
  /** Turns the text into the value; throws a CliError that names the option. Without it the text itself. */
  parse?: (text: string) => unknown;
}

export interface ArgumentSpec {
  name: string;
  description: string;
  completes: Completes;
  repeatable?: boolean;
  optional?: boolean;
}

/** What a command receives: its arguments, its options by camel-case name, and the world. */
export interface Call {
  args: string[];
  flags: Record<string, unknown>;
  context: Context;
}

export interface CommandSpec {
  name: string;
  summary: string;
  arguments: ArgumentSpec[];
  options: OptionSpec[];
  /** Whole command lines for the help. */
  examples: string[];
  /** Closing paragraph of the help, e.g. a caution. */
  note?: string;
  subcommands?: CommandSpec[];
  /** Runs the command and returns the exit status; absent where only the subcommands act. */
  act?: (call: Call) => Promise<number>;
}
