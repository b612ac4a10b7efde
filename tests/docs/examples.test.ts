import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { lazyEngine } from "../../src/cli/engine.ts";
import { ringwright, temporaryFolder } from "../cli/harness.ts";
import { fillBenchFolder, SAVED } from "./bench-folder.ts";
import { findExcerpt } from "./excerpt.ts";
import { DOCUMENTS, type Fence, fencesOf, ROOT, readDocument } from "./markdown.ts";
import { ringwrightArguments, type ShellLine, shellLines } from "./shell.ts";

// ACCEPT_DOCS=1 npx vitest run tests/docs/examples.test.ts writes what is printed now into the documents.
const ACCEPT = process.env.ACCEPT_DOCS === "1";
const HOW = "if it is meant, run ACCEPT_DOCS=1 npx vitest run tests/docs/examples.test.ts";

/** The real one. */
const engine = lazyEngine;

/** A folder of its own for each document, whose commands are run in it in order. */
async function benchFolder(path: string): Promise<string> {
  const cwd = temporaryFolder();
  fillBenchFolder(cwd);
  for (const [json, recording] of SAVED[path] ?? []) {
    const saved = await ringwright(["tap", recording, "--json", json, "--quiet"], { cwd, engine });
    expect(saved).toEqual({ status: 0, stdout: "", stderr: "" });
  }
  return cwd;
}

async function runLine(line: ShellLine, argv: string[], cwd: string): Promise<string> {
  const stdin = line.stdin === null ? "" : readFileSync(join(cwd, line.stdin));
  const { status, stdout, stderr } = await ringwright(argv, { cwd, stdin, engine });
  expect(status, `${line.source}\n${stderr}`).toBe(0);
  if (line.stdout !== null) writeFileSync(join(cwd, line.stdout), stdout);
  return stdout;
}

/** Runs the commands of a block; gives what the last one prints. */
async function runBlock(block: Fence, cwd: string): Promise<string> {
  let printed = "";
  for (const line of shellLines(block.text)) {
    const argv = ringwrightArguments(line);
    if (argv !== null) printed = await runLine(line, argv, cwd);
  }
  return printed;
}

const WITH_EXAMPLES = DOCUMENTS.filter((path) =>
  shellBlocks(path).some(({ text }) => shellLines(text).some((line) => ringwrightArguments(line) !== null)),
);

function shellBlocks(path: string): Fence[] {
  return fencesOf(readDocument(path)).filter(({ language }) => language === "sh");
}

describe("the examples of the documents", () => {
  it("examples are read from every document that shows a command", () => {
    expect(WITH_EXAMPLES).toEqual(
      expect.arrayContaining(["README.md", "docs/compare.md", "docs/plan.md", "docs/series.md"]),
    );
  });

  it.each(WITH_EXAMPLES)(
    "%s: every command works, and prints what the text block after it says",
    async (path) => {
      const cwd = await benchFolder(path);
      let document = readDocument(path);
      let printed = "";
      for (const fence of fencesOf(document)) {
        if (fence.language === "sh") printed = await runBlock(fence, cwd);
        if (fence.language !== "text" || printed === "") continue;
        const found = findExcerpt(fence.text, printed);
        if (ACCEPT && found !== null) document = document.replace(fence.text, () => found.text);
        else {
          const what = `${path}, line ${fence.line}: the program does not print this; ${HOW}\n${printed}`;
          expect(found?.differences, what).toEqual([]);
        }
      }
      if (ACCEPT) writeFileSync(join(ROOT, path), document);
    },
    120_000,
  );
});
