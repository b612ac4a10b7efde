import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { describe, expect, it } from "vitest";
import { COMMANDS } from "../src/cli/commands/register.ts";

const root = resolve(import.meta.dirname, "..");
const read = (path: string): string => readFileSync(join(root, path), "utf8");
describe("the README", () => {
  const commands = [...read("README.md").matchAll(/```sh\n(npm ci && .*)\n```/g)].map((match) => match[1]!);

  it("README.md gives two commands that are whole on a fresh machine: one measures, one tests", () => {
    expect(commands).toHaveLength(2);
    const recording = /tap (\S+) --html (\S+) --force$/.exec(commands[0]!);
    expect(existsSync(join(root, recording![1]!))).toBe(true);
    expect(read("README.md")).toContain(`\`${recording![2]}\``);
  });

  it("README.md's test command is the one that .ci/run calls, word for word", () => {
    expect(read(".ci/run")).toMatch(new RegExp(`^${commands[1]}( \\|\\| .*)?$`, "m"));
  });

  it("README.md names every option of tap", () => {
    const tap = COMMANDS.find(({ name }) => name === "tap")!;
    for (const { name } of tap.options) expect(read("README.md")).toContain(`\`--${name}`);
  });
});

describe("the documents", () => {
  it("docs/architecture.md and DEVELOPERS.md name only files that are there", () => {
    for (const path of ["docs/architecture.md", "DEVELOPERS.md"]) {
      const named = [...read(path).matchAll(/`((?:src|tests|scripts|docs)\/[\w./-]+\.\w+)`/g)].map(
        (match) => match[1]!,
      );
      expect(named.length).toBeGreaterThan(5);
      for (const file of named) expect(existsSync(join(root, file)), file).toBe(true);
    }
  });

  it("docs/architecture.md tells the way through partials/ by files that are there", () => {
    const step = read("docs/architecture.md").split("\n5. ")[1]!.split("\n6. ")[0]!;
    const named = [...step.matchAll(/`([\w-]+\.ts)`/g)].map((match) => match[1]!);
    const there = readdirSync(join(root, "src/partials"));
    expect(named.length).toBeGreaterThan(5);
    for (const file of named) expect(there).toContain(file);
  });
});
