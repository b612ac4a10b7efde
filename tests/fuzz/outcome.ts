import { plainLine } from "../../src/cli/io.ts";
import { OutcomeError } from "./target.ts";

/** What every outcome is held to, whatever was fuzzed. */

/** Longest sentence that is still one: what is refused may be quoted in it. */
const LONGEST_SENTENCE = 1500;

/** One line that a person can read: no control character, no trace of a program in it. */
export function expectSentence(text: string): void {
  const complaint =
    text.trim() === ""
      ? "nothing is said"
      : hasControl(text)
        ? "a control character or a line break is in the sentence"
        : text.length > LONGEST_SENTENCE
          ? `the sentence has ${text.length} characters`
          : /\bat .*(\.[cm]?[jt]s|node:[\w/]+|<anonymous>|eval):\d+:\d+|\[object |node:internal|a fault of the tool/.test(
                text,
              )
            ? "a trace of the program is in the sentence"
            : null;
  if (complaint !== null) throw new OutcomeError(`${complaint}: ${JSON.stringify(text.slice(0, 300))}`);
}

/** Characters that move a terminal's cursor, ring it, or turn the direction of what follows. */
export function hasControl(text: string): boolean {
  // biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is looked for
  return /[\u0000-\u001f\u007f-\u009f\u2028\u2029\u202a-\u202e\u2066-\u2069]/.test(text);
}

/** The error must be one of these kinds, told by name, and its message one sentence once the command line has said it. */
export function expectRefusal(error: unknown, names: readonly string[]): void {
  if (!(error instanceof Error) || !names.includes(error.name)) throw error;
  expectSentence(plainLine(error.message));
}

/** No number that is none: neither in the text of a report nor where a value is missing. */
export function expectNoLostNumber(text: string, where: string): void {
  const found = /(?<![\w$.])(NaN|-?Infinity|undefined|\[object \w+\])(?![\w$(])/.exec(text);
  if (found) {
    const around = text.slice(Math.max(0, found.index - 80), found.index + 80).replace(/\s+/g, " ");
    throw new OutcomeError(`${where} holds ${found[0]}: ...${around}...`);
  }
}

/** Every number in plain data is finite. */
export function expectFiniteData(value: unknown, path: string): void {
  if (typeof value === "number" && !Number.isFinite(value)) throw new OutcomeError(`${path} is ${value}`);
  if (value === undefined) throw new OutcomeError(`${path} is undefined`);
  if (typeof value !== "object" || value === null) return;
  for (const [key, item] of Object.entries(value)) expectFiniteData(item, `${path}.${key}`);
}

/**
 * A report is whole, holds only the scripts it was built with, and no lost number: its text and the data of its
 * charts are looked through, not the code of its scripts.
 */
export function expectWholeReport(page: string, where: string): void {
  if (!/^<!doctype html>/i.test(page) || !page.trimEnd().endsWith("</html>")) {
    throw new OutcomeError(`${where} is no whole page: it ends with ${JSON.stringify(page.slice(-60))}`);
  }
  const scripts = [...page.matchAll(/<script(?![^>]*application\/json)[^>]*>[\s\S]*?<\/script>/g)];
  const policy = /script-src ([^;"]*)/.exec(page.replaceAll("&#39;", "'"))?.[1] ?? "";
  const allowed = policy.match(/sha256-/g)?.length ?? 0;
  if (scripts.length !== allowed) {
    throw new OutcomeError(`${where} has ${scripts.length} scripts, and its policy names ${allowed}`);
  }
  const text = page
    .replace(/<script(?![^>]*application\/json)[^>]*>[\s\S]*?<\/script>/g, "")
    .replace(/<style>[\s\S]*?<\/style>/g, "")
    .replace(/base64,[A-Za-z0-9+/=]*/g, "");
  expectNoLostNumber(text, where);
}
