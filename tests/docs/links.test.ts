import { existsSync, statSync } from "node:fs";
import { dirname, join, normalize } from "node:path";
import { describe, expect, it } from "vitest";
import { COMMANDS } from "../../src/cli/commands/register.ts";
import { GLOBAL_OPTIONS } from "../../src/cli/options.ts";
import type { CommandSpec } from "../../src/cli/spec.ts";
import { anchorsOf, DOCUMENTS, fencesOf, linksOf, proseOf, ROOT, readDocument } from "./markdown.ts";

/** Documents whose options are those of the command line; `--only` is that of `npm run bench`. */
const FOR_FOUNDERS = [
  "README.md",
  ...["compare", "findings", "limits", "plan", "reading-guide", "recording-guide", "series"].map(
    (name) => `docs/${name}.md`,
  ),
];

describe("anchorsOf", () => {
  it("anchorsOf(headings) lowers case, drops signs, and numbers what comes twice", () => {
    const text =
      "# A `tap` & more\n## Where it fails\ntext\n## Where it fails\n```sh\n# not a heading\n```\n";
    expect([...anchorsOf(text)]).toEqual(["a-tap--more", "where-it-fails", "where-it-fails-1"]);
  });
});

describe("linksOf", () => {
  it("linksOf(text) gives what leads into the project, and nothing from a fenced block", () => {
    const text = "[a](x.md#y) [b](https://z.org) [c](#d)\n```text\n[e](f.md)\n```\n";
    expect(linksOf(text)).toEqual(["x.md#y", "#d"]);
  });
});

describe("the documents", () => {
  it.each(DOCUMENTS)("%s links only to files and headings that are there", (path) => {
    for (const link of linksOf(readDocument(path))) {
      const [file, anchor] = link.split("#") as [string, string | undefined];
      const target = file === "" ? path : normalize(join(dirname(path), file)).replaceAll("\\", "/");
      expect(existsSync(join(ROOT, target)), `${link}: no such file`).toBe(true);
      if (anchor === undefined) continue;
      expect([...anchorsOf(readDocument(target))], `${link}: no such heading`).toContain(anchor);
    }
  });

  it("README.md leads to every other document, in one step or two", () => {
    const reached = new Set(["README.md"]);
    for (const path of ["README.md", ...reachedFrom("README.md")]) {
      for (const target of reachedFrom(path)) reached.add(target);
    }
    expect(DOCUMENTS.filter((path) => !reached.has(path))).toEqual([]);
  });

  it.each(DOCUMENTS)("%s closes every fenced block", (path) => {
    const text = readDocument(path);
    expect((text.match(/^```/gm) ?? []).length).toBe(2 * fencesOf(text).length);
  });

  it.each(FOR_FOUNDERS)("%s names only options that exist", (path) => {
    const known = new Set(["help", "version", "only", ...optionNames(COMMANDS)]);
    for (const option of GLOBAL_OPTIONS) known.add(option.name);
    const named = [...proseOf(readDocument(path)).matchAll(/`--([a-z][a-z0-9-]*)/g)].map(
      (match) => match[1]!,
    );
    expect(named.filter((name) => !known.has(name))).toEqual([]);
  });
});

function optionNames(commands: CommandSpec[]): string[] {
  return commands.flatMap(({ options, subcommands }) => [
    ...options.map(({ name }) => name),
    ...optionNames(subcommands ?? []),
  ]);
}

/** The Markdown files that a document links to; of a folder its README.md. */
function reachedFrom(path: string): string[] {
  return linksOf(readDocument(path))
    .map((link) => link.split("#")[0]!)
    .filter((file) => file !== "")
    .map((file) =>
      normalize(join(dirname(path), file))
        .replaceAll("\\", "/")
        .replace(/\/$/, ""),
    )
    .map((file) => (statSync(join(ROOT, file)).isDirectory() ? `${file}/README.md` : file))
    .filter((file) => DOCUMENTS.includes(file));
}
