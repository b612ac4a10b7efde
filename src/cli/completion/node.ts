import { GLOBAL_OPTIONS } from "../options.ts";
import type { ArgumentSpec, CommandSpec, OptionSpec } from "../spec.ts";

/** One place in the tree of commands, as a shell sees it. */
export interface Node {
  /** Words that lead here: [] for the program itself, ["plan", "scale"] for a subcommand. */
  path: string[];
  options: OptionSpec[];
  arguments: ArgumentSpec[];
  /** Names and summaries of the commands below. */
  children: { name: string; summary: string }[];
}

const HELP: OptionSpec = { name: "help", value: null, description: "print help and stop", completes: null };
const VERSION: OptionSpec = {
  name: "version",
  value: null,
  description: "print the version",
  completes: null,
};

/** The tree of commands as a list, parents first. */
export function flatten(commands: CommandSpec[]): Node[] {
  const root: Node = {
    path: [],
    options: [VERSION, HELP, ...GLOBAL_OPTIONS],
    arguments: [],
    children: commands,
  };
  return [root, ...commands.flatMap((command) => below([], command))];
}

function below(path: string[], spec: CommandSpec): Node[] {
  const own = [...path, spec.name];
  const children = spec.subcommands ?? [];
  const options = [...spec.options, HELP, ...GLOBAL_OPTIONS];
  return [
    { path: own, options, arguments: spec.arguments, children },
    ...children.flatMap((child) => below(own, child)),
  ];
}

/** Words a shell may offer for the argument at this node: the commands below, else the fixed words of the argument. */
export function argumentWords(node: Node): string[] {
  const fixed = node.arguments.flatMap(({ completes }) => (Array.isArray(completes) ? completes : []));
  return [...node.children.map((child) => child.name), ...fixed];
}

export function takesFiles(node: Node): boolean {
  return node.arguments.some(({ completes }) => completes === "file");
}

/** A text within single quotes, for all three shells: none of ours holds a backslash. */
export function quote(text: string): string {
  return `'${text.replaceAll("'", "'\\''")}'`;
}
