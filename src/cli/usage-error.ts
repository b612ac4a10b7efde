import type { CommanderError } from "commander";
import { CliError } from "./exit.ts";
import { nearest } from "./nearest.ts";
import type { CommandSpec } from "./spec.ts";

/** What the errors of usage are told from. */
export interface Usage {
  argv: string[];
  commands: CommandSpec[];
  /** Whether a word of the command line is the name of a file that is there. */
  isFile: (word: string) => boolean;
}

/** The command that the words lead to, as far as they do: its specs from the outside in, and the first word that is none. */
interface Path {
  specs: CommandSpec[];
  stray: string | null;
}

/** Commander's own message as one sentence of ours, with the way to the right help. */
export function usageError(error: CommanderError, usage: Usage): CliError {
  const { argv, commands, isFile } = usage;
  const { specs, stray } = pathOf(argv, commands);
  const name = ["ringwright", ...specs.map((spec) => spec.name)].join(" ");
  const see = `see ${name} --help`;
  switch (error.code) {
    // With a bare parent command, or help of what is none, commander's message is only "(outputHelp)".
    case "commander.help":
      return new CliError(
        stray === null
          ? `say which ${[...specs.map((spec) => spec.name), "command"].join(" ")}; ${see}`
          : unknownCommand(stray, specs.at(-1)?.subcommands ?? commands, see),
      );
    case "commander.unknownCommand":
      if (stray !== null && specs.length === 0 && isFile(stray)) return fileForCommand(argv, stray);
      break;
    case "commander.missingArgument":
      return missingArgument(error.message, specs, see);
    case "commander.unknownOption": {
      const owner = specs.length === 0 ? ownerOf(error.message, commands) : undefined;
      if (owner !== undefined) {
        const option = /'(.*)'/.exec(error.message)![1];
        return new CliError(
          `${option} comes after its command, as in ringwright ${owner.name} ... ${option}; ${see}`,
        );
      }
    }
  }
  const sentence = error.message
    .replace(/^error: /, "")
    .replace(/\.$/, "")
    .replace(/\n\(Did you mean (.*)\?\)$/, "; did you mean $1?")
    .replaceAll("\n", " ");
  return new CliError(sentence.endsWith("?") ? sentence : `${sentence}; ${see}`);
}

function pathOf(argv: string[], commands: CommandSpec[]): Path {
  const specs: CommandSpec[] = [];
  let known = commands;
  for (const word of argv) {
    if (word.startsWith("-") || word === "help") continue;
    const next = known.find((spec) => spec.name === word);
    if (next === undefined) return { specs, stray: known.length > 0 ? word : null };
    specs.push(next);
    known = next.subcommands ?? [];
  }
  return { specs, stray: null };
}

function unknownCommand(word: string, known: CommandSpec[], see: string): string {
  const guess = nearest(
    word,
    known.map((spec) => spec.name),
  );
  return `unknown command '${word}'; ${guess === null ? see : `did you mean ${guess}?`}`;
}

/** A file stands where the command should: most often a recording that is to be tapped. */
function fileForCommand(argv: string[], file: string): CliError {
  const command = /\.ya?ml$/i.test(file) ? "series" : "tap";
  const line = [command, ...argv].map(quoted).join(" ");
  return new CliError(
    `${file} is a file and not a command; say what to do with it, as in ringwright ${line}`,
  );
}

/** As a shell takes it for one word. */
const quoted = (word: string): string =>
  /^[\w./:=,+@%-]+$/.test(word) ? word : `'${word.replaceAll("'", "'\\''")}'`;

function missingArgument(message: string, specs: CommandSpec[], see: string): CliError {
  const spec = specs.at(-1);
  const missing = /'(.*)'/.exec(message)?.[1] ?? "an argument";
  const what = spec?.arguments.find((argument) => argument.name === missing)?.description.split(/[:;]/)[0];
  const name = specs.map((each) => each.name).join(" ");
  const example = spec?.examples[0];
  return new CliError(
    `${name} needs ${missing}${what === undefined ? "" : ` (${what})`}${example === undefined ? "" : `, as in ${example}`}; ${see}`,
  );
}

/** The first command that knows the option of commander's message. */
function ownerOf(message: string, commands: CommandSpec[]): CommandSpec | undefined {
  const name = /'--([^'=]*)/.exec(message)?.[1];
  return commands.find((spec) => spec.options.some((option) => option.name === name));
}

/**
 * Refuses words that are empty, which a shell makes of a variable that was never set.
 *
 * @throws CliError that names the argument or the option
 */
export function refuseEmpty(
  spec: CommandSpec,
  args: string[],
  flags: Record<string, unknown>,
  name: string,
): void {
  const see = `see ${name} --help`;
  const command = name.replace(/^ringwright /, "");
  if (args.some((arg) => arg.trim() === "")) {
    throw new CliError(`${command} was given an empty name; was a shell variable left unset? ${see}`);
  }
  const empty = spec.options.find(({ name: option, completes }) => {
    const value = flags[option.replace(/-([a-z])/g, (_, letter: string) => letter.toUpperCase())];
    return completes === "file" && value === "";
  });
  if (empty !== undefined) {
    throw new CliError(`--${empty.name} was given an empty name; was a shell variable left unset? ${see}`);
  }
}
