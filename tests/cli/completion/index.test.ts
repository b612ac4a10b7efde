import { execFileSync, spawnSync } from "node:child_process";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { COMMANDS } from "../../../src/cli/commands/register.ts";
import { completionScript, SHELLS } from "../../../src/cli/completion/index.ts";
import { parseArguments } from "../../../src/cli/parser.ts";
import type { CommandSpec } from "../../../src/cli/spec.ts";
import { ringwright, temporaryFolder } from "../harness.ts";

/** A command with all that a table can declare: values of each kind, a repeated option, a command below it. */
const SAMPLE: CommandSpec[] = [
  {
    name: "pour",
    summary: "it's a test",
    arguments: [{ name: "FILE", description: "a file", completes: "file", optional: true }],
    options: [
      { name: "metal", value: "NAME", description: "which [one]: pick", completes: ["copper", "tin"] },
      { name: "out", value: "FILE", description: "where to", completes: "file", repeatable: true },
      { name: "hot", value: null, description: "is it hot", completes: null },
    ],
    examples: [],
    subcommands: [
      {
        name: "cool",
        summary: "wait",
        arguments: [],
        options: [{ name: "hours", value: "N", description: "how long", completes: null }],
        examples: [],
        act: async () => 0,
      },
    ],
    act: async () => 0,
  },
];

const has = (shell: string): boolean => spawnSync(shell, ["-c", "true"]).status === 0;

/** What bash would offer after these words; the last one is being typed. */
function offeredByBash(words: string[], commands = SAMPLE): string[] {
  const program = `${completionScript("bash", commands)}
COMP_WORDS=("$@"); COMP_CWORD=$(($# - 1)); compopt() { :; }
_ringwright
printf '%s\\n' "\${COMPREPLY[@]}"`;
  const output = execFileSync("bash", ["-c", program, "bash", ...words], { encoding: "utf8" });
  return output.split("\n").filter((line) => line !== "");
}

describe("completionScript for bash", () => {
  it("completionScript(bash) offers commands, then what lies below them", () => {
    expect(offeredByBash(["ringwright", ""])).toEqual(["pour"]);
    expect(offeredByBash(["ringwright", "pour", "c"])).toEqual(["cool"]);
    expect(offeredByBash(["ringwright", "--v"])).toEqual(["--version"]);
  });

  it("completionScript(bash) offers the options of the command at hand only", () => {
    expect(offeredByBash(["ringwright", "pour", "--"])).toEqual([
      "--metal",
      "--out",
      "--hot",
      "--help",
      "--no-color",
    ]);
    expect(offeredByBash(["ringwright", "pour", "cool", "--h"])).toEqual(["--hours", "--help"]);
  });

  it("completionScript(bash) offers fixed values after an option and after its equals sign", () => {
    expect(offeredByBash(["ringwright", "pour", "--metal", ""])).toEqual(["copper", "tin"]);
    expect(offeredByBash(["ringwright", "pour", "--metal", "=", "t"])).toEqual(["tin"]);
    expect(offeredByBash(["ringwright", "pour", "--metal", "="])).toEqual(["copper", "tin"]);
  });

  it("completionScript(bash) leaves file names to the shell", () => {
    expect(offeredByBash(["ringwright", "pour", "--out", ""])).toEqual([]);
  });

  it("completionScript(bash) of the real commands knows every option that the parser knows", () => {
    for (const command of COMMANDS) {
      const offered = offeredByBash(["ringwright", command.name, "--"], COMMANDS);
      for (const { name } of command.options) expect(offered).toContain(`--${name}`);
    }
  });
});

describe("completionScript for zsh and fish", () => {
  it("completionScript(zsh) is sound zsh", ({ skip }) => {
    skip(!has("zsh"), "zsh is not installed");
    const file = join(temporaryFolder(), "_ringwright");
    for (const commands of [SAMPLE, COMMANDS]) {
      writeFileSync(file, completionScript("zsh", commands));
      expect(spawnSync("zsh", ["-n", file], { encoding: "utf8" })).toMatchObject({ status: 0, stderr: "" });
    }
  });

  it("completionScript(fish) offers commands, options and fixed values", ({ skip }) => {
    skip(!has("fish"), "fish is not installed");
    const file = join(temporaryFolder(), "ringwright.fish");
    writeFileSync(file, completionScript("fish", SAMPLE));
    const offered = (line: string) =>
      execFileSync("fish", ["--no-config", "-c", `source ${file}; complete -C "${line}"`], {
        encoding: "utf8",
      })
        .split("\n")
        .map((entry) => entry.split("\t")[0]);
    expect(offered("ringwright ")).toContain("pour");
    expect(offered("ringwright pour --")).toEqual(expect.arrayContaining(["--metal", "--out", "--hot"]));
    expect(offered("ringwright pour --metal ")).toEqual(["copper", "tin", ""]);
    expect(offered("ringwright pour cool --ho")).toEqual(["--hours", ""]);
  });

  it("completionScript(shell) names every command and option of the table in every shell", () => {
    for (const shell of SHELLS) {
      const script = completionScript(shell, COMMANDS);
      for (const command of COMMANDS) {
        expect(script).toContain(command.name);
        for (const { name } of command.options) expect(script).toContain(name);
      }
    }
  });
});

describe("completion, the command", () => {
  it("completion SHELL prints the script on stdout", async () => {
    for (const shell of SHELLS) {
      const { status, stdout, stderr } = await ringwright(["completion", shell]);
      expect({ status, stderr }).toEqual({ status: 0, stderr: "" });
      expect(stdout).toBe(completionScript(shell, COMMANDS));
    }
  });
});

describe("parseArguments on the same table", () => {
  it("parseArguments(argv) accepts what the completion offers", () => {
    const argv = ["pour", "x", "--metal", "tin", "--out", "a", "--out=b", "--hot"];
    const request = parseArguments(argv, SAMPLE, "1.0.0");
    expect(request).toMatchObject({ args: ["x"], flags: { metal: "tin", out: ["a", "b"], hot: true } });
    expect(parseArguments(["pour", "cool", "--hours", "3"], SAMPLE, "1")).toMatchObject({
      flags: { hours: "3" },
    });
  });

  it("parseArguments(argv) tells a command above from one below", () => {
    expect(parseArguments(["pour"], SAMPLE, "1")).toMatchObject({ spec: { name: "pour" }, args: [] });
    expect(parseArguments(["pour", "cool"], SAMPLE, "1")).toMatchObject({ spec: { name: "cool" } });
    expect(() => parseArguments(["pour", "cool", "--hour", "3"], SAMPLE, "1")).toThrow(
      "did you mean --hours?",
    );
  });

  it("parseArguments(argv) takes everything after -- for an argument", () => {
    expect(parseArguments(["pour", "--", "--hot"], SAMPLE, "1")).toMatchObject({
      args: ["--hot"],
      flags: {},
    });
  });
});
