import { Command, CommanderError, Option } from "commander";
import { CliError } from "./exit.ts";
import { GLOBAL_OPTIONS } from "./options.ts";
import type { ArgumentSpec, CommandSpec, OptionSpec } from "./spec.ts";
import { refuseEmpty, usageError } from "./usage-error.ts";

/** What the command line asks for. */
export type Request =
  | { kind: "command"; spec: CommandSpec; args: string[]; flags: Record<string, unknown>; colour: boolean }
  /** Help or the version: the text itself, for standard output. */
  | { kind: "text"; text: string };

const SUMMARY = "Reads recordings of struck bells and says what was cast.";

/**
 * Reads the arguments against the declared commands.
 *
 * @param isFile whether a word names a file that is there, so that a file in the place of a command is told as one
 * @throws CliError (status 2) on wrong usage, with the nearest command or option where one is near
 */
export function parseArguments(
  argv: string[],
  commands: CommandSpec[],
  version: string,
  isFile: (word: string) => boolean = () => false,
): Request {
  const printed: string[] = [];
  let request: Request | null = null;
  const program = new Command("ringwright")
    .description(SUMMARY)
    .version(version, "-V, --version", "print the version and stop")
    .usage("COMMAND ...");
  for (const spec of GLOBAL_OPTIONS) program.addOption(toOption(spec));
  for (const spec of commands) {
    program.addCommand(
      toCommand(spec, (chosen, args, flags) => {
        const colour = program.opts().color !== false;
        request = { kind: "command", spec: chosen, args, flags, colour };
      }),
    );
  }
  configureAll(program, program, (text) => printed.push(text));
  if (argv.length === 0) return { kind: "text", text: shortHelp(commands) };
  try {
    program.parse(argv, { from: "user" });
  } catch (error) {
    if (!(error instanceof CommanderError)) throw error;
    if (error.exitCode !== 0) throw usageError(error, { argv, commands, isFile });
  }
  return request ?? { kind: "text", text: printed.join("") };
}

type Chosen = (spec: CommandSpec, args: string[], flags: Record<string, unknown>) => void;

function toCommand(spec: CommandSpec, choose: Chosen): Command {
  const command = new Command(spec.name).summary(spec.summary).description(spec.summary);
  for (const argument of spec.arguments) command.argument(argumentUsage(argument), argument.description);
  for (const option of spec.options) command.addOption(toOption(option));
  for (const sub of spec.subcommands ?? []) command.addCommand(toCommand(sub, choose));
  if (spec.act) {
    command.action(() => {
      const options = { ...sharedOptions(command), ...command.opts() };
      refuseEmpty(spec, command.args, options, fullName(command));
      refuseParents(command);
      choose(spec, command.args, options);
    });
  }
  command.addHelpText("after", closingHelp(spec));
  return command;
}

/** Options that a command and its subcommand both know reach the parser of the former, wherever they stand. */
function sharedOptions(command: Command): Record<string, unknown> {
  const { parent } = command;
  if (!parent?.parent) return {};
  const own = new Set(command.options.map((option) => option.attributeName()));
  return Object.fromEntries(
    Object.entries(parent.opts()).filter(
      ([name]) => own.has(name) && parent.getOptionValueSource(name) === "cli",
    ),
  );
}

/** A subcommand reads no option of the command that it belongs to: what would be passed over in silence is refused. */
function refuseParents(command: Command): void {
  const { parent } = command;
  if (!parent?.parent) return;
  const stray = parent.options.find(
    (option) =>
      parent.getOptionValueSource(option.attributeName()) === "cli" &&
      !command.options.some(({ long }) => long === option.long),
  );
  if (stray === undefined) return;
  throw new CliError(
    `${stray.long} is an option of ${fullName(parent)}, not of ${fullName(command)}; leave it out here`,
  );
}

/** "ringwright plan scale". */
function fullName(command: Command): string {
  return command.parent === null ? command.name() : `${fullName(command.parent)} ${command.name()}`;
}

function argumentUsage({ name, repeatable, optional }: ArgumentSpec): string {
  const shown = repeatable ? `${name}...` : name;
  return optional ? `[${shown}]` : `<${shown}>`;
}

function toOption(spec: OptionSpec): Option {
  const option = new Option(
    spec.value === null ? `--${spec.name}` : `--${spec.name} <${spec.value}>`,
    spec.description,
  );
  const parse = spec.parse ?? ((text: string) => text);
  if (spec.value === null) return option;
  if (!spec.repeatable) return option.argParser(parse);
  return option.argParser((text, before: unknown[] | undefined) => [...(before ?? []), parse(text)]);
}

function closingHelp({ examples, note }: CommandSpec): string {
  const lines = examples.length > 0 ? ["", "Examples:", ...examples.map((example) => `  ${example}`)] : [];
  if (note) lines.push("", note);
  return lines.join("\n");
}

function configureAll(command: Command, program: Command, print: (text: string) => void): void {
  command
    .exitOverride()
    .configureOutput({ writeOut: print, writeErr: print, outputError: () => {} })
    .configureHelp({
      showGlobalOptions: true,
      visibleGlobalOptions: (of) => (of === program ? [] : [...program.options]),
      helpWidth: 100,
    })
    .helpOption("-h, --help", "print this help and stop");
  for (const sub of command.commands) configureAll(sub, program, print);
}

/** What a bare `ringwright` prints: the commands and two examples. */
function shortHelp(commands: CommandSpec[]): string {
  const width = Math.max(...commands.map((spec) => spec.name.length));
  const listed = commands.map((spec) => `  ${spec.name.padEnd(width)}  ${spec.summary}`);
  return [
    SUMMARY,
    "",
    "Usage: ringwright COMMAND ...",
    "",
    "Commands:",
    ...listed,
    "",
    "Examples:",
    "  ringwright tap bell.wav",
    "  ringwright tap bell.wav --html bell.html",
    "",
    "ringwright COMMAND --help says more.",
    "",
  ].join("\n");
}
