import { completionScript, SHELLS } from "../completion/index.ts";
import { CliError, EXIT } from "../exit.ts";
import { nearest } from "../nearest.ts";
import type { CommandSpec } from "../spec.ts";

/** The command that prints a completion script for the given commands, itself among them. */
export function completionOf(commands: CommandSpec[]): CommandSpec {
  return {
    name: "completion",
    summary: "print a completion script for a shell",
    arguments: [{ name: "SHELL", description: "bash, zsh or fish", completes: SHELLS }],
    options: [],
    examples: [
      "ringwright completion bash > ~/.local/share/bash-completion/completions/ringwright",
      "ringwright completion zsh > ~/.zfunc/_ringwright",
      "ringwright completion fish > ~/.config/fish/completions/ringwright.fish",
    ],
    async act({ args, context }) {
      const shell = SHELLS.find((known) => known === args[0]);
      if (!shell) throw unknownShell(args[0] ?? "");
      await context.print(completionScript(shell, commands));
      return EXIT.measured;
    },
  };
}

function unknownShell(word: string): CliError {
  const guess = nearest(word, SHELLS);
  const shells = SHELLS.join(", ");
  return new CliError(`completion knows ${shells}, not "${word}"${guess ? `; did you mean ${guess}?` : ""}`);
}
