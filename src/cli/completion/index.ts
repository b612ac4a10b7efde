import type { CommandSpec } from "../spec.ts";
import { bashScript } from "./bash.ts";
import { fishScript } from "./fish.ts";
import { flatten } from "./node.ts";
import { zshScript } from "./zsh.ts";

export const SHELLS = ["bash", "zsh", "fish"] as const;
export type Shell = (typeof SHELLS)[number];

const WRITERS = { bash: bashScript, zsh: zshScript, fish: fishScript };

/** The completion script of one shell, from the same table as the parser. */
export function completionScript(shell: Shell, commands: CommandSpec[]): string {
  return WRITERS[shell](flatten(commands));
}
