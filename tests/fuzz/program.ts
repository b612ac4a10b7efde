import { mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { Readable, Writable } from "node:stream";
import { type Engine, run } from "../../src/cli/index.ts";
import { expectDocument } from "./documents.ts";
import { expectNoLostNumber, expectSentence, expectWholeReport } from "./outcome.ts";
import { OutcomeError, type Verdict } from "./target.ts";

/** The whole program on files of its own, and everything that every run of it is held to. */

class Sink extends Writable {
  readonly parts: string[] = [];
  override _write(chunk: Buffer, _encoding: string, done: () => void): void {
    this.parts.push(chunk.toString());
    done();
  }
  get text(): string {
    return this.parts.join("");
  }
}

export interface Start {
  argv: string[];
  /** Files that are there before the program starts. */
  files: Record<string, Uint8Array | string>;
  stdin?: Uint8Array | string;
  engine?: Engine;
}

const USED_STATUSES = [0, 1, 2];

/**
 * Runs the program in an empty folder of its own and checks the outcome: a status that is documented, one sentence a
 * line on standard error and at least one where the status is not 0, no input changed, every file it wrote whole and
 * valid, and no word from the console of a library.
 */
export async function runProgram({
  argv,
  files,
  stdin = "",
  engine,
}: Start): Promise<Verdict & { status: number }> {
  const cwd = mkdtempSync(join(tmpdir(), "ringwright-fuzz-"));
  try {
    for (const [name, content] of Object.entries(files)) writeFileSync(join(cwd, name), content);
    const stdout = new Sink();
    const stderr = new Sink();
    const io = { stdin: Readable.from([Buffer.from(stdin)]), stdout, stderr, env: {}, cwd };
    const status = await withoutWarnings(() => run(argv, io, engine));
    expectStatus(status, stderr.text);
    expectOutput(stdout.text, "standard output");
    let weightBytes = stdout.text.length + argv.join("").length;
    for (const name of readdirSync(cwd)) {
      const path = join(cwd, name);
      if (!statSync(path).isFile()) continue;
      const before = files[name];
      const text = readFileSync(path);
      weightBytes += text.length;
      if (before !== undefined) expectUnchanged(name, Buffer.from(before as Uint8Array), text, argv);
      else if (/\.tmp$/.test(name)) throw new OutcomeError(`${name} was left behind`);
      else expectOutput(text.toString(), name);
    }
    return { outcome: status === 0 ? "accepted" : "refused", weightBytes, status };
  } finally {
    rmSync(cwd, { recursive: true, force: true });
  }
}

/** Warnings of Node and of libraries go past the program's own voice to standard error. */
async function withoutWarnings<Value>(step: () => Promise<Value>): Promise<Value> {
  const { emitWarning } = process;
  const warnings: string[] = [];
  process.emitWarning = (warning: string | Error) => void warnings.push(String(warning));
  let value: Value;
  try {
    value = await step();
  } finally {
    process.emitWarning = emitWarning;
  }
  if (warnings.length > 0) throw new OutcomeError(`a warning of a library's: ${warnings[0]}`);
  return value;
}

function expectStatus(status: number, stderr: string): void {
  if (!USED_STATUSES.includes(status)) {
    throw new OutcomeError(`status ${status}: ${stderr.slice(0, 600)}`);
  }
  const lines = stderr.split("\n").slice(0, -1);
  if (stderr !== "" && !stderr.endsWith("\n")) throw new OutcomeError(`half a line: ${stderr.slice(-200)}`);
  if (status !== 0 && lines.length === 0) throw new OutcomeError(`status ${status} without a word`);
  for (const line of lines) {
    if (!line.startsWith("ringwright: ")) throw new OutcomeError(`no sentence of the program's: ${line}`);
    expectSentence(line);
  }
}

/** --force and "series add" may replace an input; nothing else may. */
function expectUnchanged(name: string, before: Buffer, after: Buffer, argv: readonly string[]): void {
  if (after.equals(before)) return;
  if (argv.includes("--force") || argv.includes("add")) return;
  throw new OutcomeError(`the input ${name} was changed`);
}

function expectOutput(text: string, where: string): void {
  if (/^<!doctype html>/i.test(text)) expectWholeReport(text, where);
  else if (/^\{\n/.test(text)) expectDocument(text, where);
  else expectNoLostNumber(text, where);
}
