import { isMap, isSeq, type Node, type Pair, stringify, type YAMLMap, type YAMLSeq } from "yaml";
import { SeriesFileError } from "../error.ts";
import { parseSeriesDocument, readSeries } from "./read-series.ts";

/** A pass to be written into a series file; fields that are undefined are left out. */
export interface NewPass {
  date?: string;
  recordings: string[];
  removedG?: number;
  removedMm?: number;
  at?: string;
  metalC?: number;
  airC?: number;
  note?: string;
}

/**
 * The text of a series file with one more pass at the end of a bell's. Every character that was there stays where it was:
 * the new lines are written between them, in the indentation of those around.
 *
 * @throws SeriesFileError when the file cannot be read, or has no bell of this name
 */
export function appendPass(text: string, bellName: string, pass: NewPass): string {
  const before = readSeries(text);
  const at = before.bells.findIndex(({ name }) => name === bellName);
  if (at < 0) {
    throw new SeriesFileError(
      `there is no bell called ${bellName}; the file has ${before.bells.map(({ name }) => name).join(", ")}`,
    );
  }
  const mark = text.startsWith("\ufeff") ? "\ufeff" : "";
  const body = text.slice(mark.length);
  const bell = parseSeriesDocument(body).document.getIn(["bells", at], true) as YAMLMap;
  const fields = Object.fromEntries(Object.entries(pass).filter(([, value]) => value !== undefined));
  const passes = bell.get("passes", true);
  const next = isSeq(passes) ? afterLast(body, passes, fields) : asFirst(body, bell, fields);
  const longer = mark + next;
  checkOnlyOneMore(text, longer, at);
  return longer;
}

/** Guards the user's file: what is written must read as what was there and one pass more. */
function checkOnlyOneMore(old: string, longer: string, at: number): void {
  const withoutLines = (content: string) =>
    readSeries(content).bells.map((bell) => bell.passes.map((pass) => ({ ...pass, line: 0 })));
  const was = withoutLines(old);
  const now = withoutLines(longer);
  if (now[at]!.length === was[at]!.length + 1) now[at]!.pop();
  if (JSON.stringify(was) !== JSON.stringify(now)) {
    throw new SeriesFileError(
      "this file's layout is not one a pass can be added to; write the pass yourself",
    );
  }
}

const endOf = (node: Node): number => node.range![1];
const lineStart = (text: string, at: number): number => text.lastIndexOf("\n", at - 1) + 1;
const newlineOf = (text: string): string => (text.includes("\r\n") ? "\r\n" : "\n");

function afterLast(text: string, passes: YAMLSeq, fields: object): string {
  const last = passes.items.at(-1) as Node | undefined;
  if (passes.flow) return intoFlow(text, passes, last, fields);
  const dash = text.lastIndexOf("-", last!.range![0]);
  const indent = " ".repeat(dash - lineStart(text, dash));
  return insertLines(text, endOfBlock(text, last!), indent, fields);
}

/** `passes` is missing or empty: it is written at the end of the bell, or after its key. */
function asFirst(text: string, bell: YAMLMap, fields: object): string {
  const pairs = bell.items as Pair<Node, Node | null>[];
  const key = pairs.find((pair) => String(pair.key) === "passes")?.key;
  if (bell.flow) {
    if (key) throw new SeriesFileError("passes is empty; write [] behind it, then a pass can be added");
    const { value } = pairs.at(-1)!;
    const end = endOf(value!);
    return `${text.slice(0, end)}, "passes": [${JSON.stringify(fields)}]${text.slice(end)}`;
  }
  const first = pairs[0]!.key.range![0];
  const indent = " ".repeat(first - lineStart(text, first));
  if (key) return insertLines(text, endOfLine(text, key.range![1]), `${indent}  `, fields);
  const last = pairs.at(-1)!;
  const end = endOfBlock(text, last.value ?? last.key);
  const newline = newlineOf(text);
  const head = `${text.slice(0, end)}${newline}${indent}passes:`;
  return insertLines(head + text.slice(end), head.length, `${indent}  `, fields);
}

/** A list in brackets, as JSON has it: on a line of its own where the others are. */
function intoFlow(text: string, passes: YAMLSeq, last: Node | undefined, fields: object): string {
  const written = JSON.stringify(fields);
  if (last === undefined) {
    const open = text.indexOf("[", passes.range![0]) + 1;
    return text.slice(0, open) + written + text.slice(open);
  }
  const start = last.range![0];
  const lead = text.slice(lineStart(text, start), start);
  const gap = lead.trim() === "" ? newlineOf(text) + lead : " ";
  return `${text.slice(0, endOf(last))},${gap}${written}${text.slice(endOf(last))}`;
}

/** End of the last line that holds something of the node; a remark behind it on that line stays with it. */
function endOfBlock(text: string, node: Node): number {
  let deepest = node;
  for (;;) {
    const collection = deepest as YAMLMap | YAMLSeq;
    if ((!isMap(deepest) && !isSeq(deepest)) || collection.flow || collection.items.length === 0) break;
    const item = collection.items.at(-1) as Pair<Node, Node | null> | Node;
    deepest = "key" in item ? ((item.value as Node | null) ?? item.key) : item;
  }
  const end = endOf(deepest);
  // A block scalar ends with its line.
  return text[end - 1] === "\n" ? end - (text[end - 2] === "\r" ? 2 : 1) : endOfLine(text, end);
}

function endOfLine(text: string, from: number): number {
  const end = text.indexOf("\n", from);
  if (end < 0) return text.length;
  return text[end - 1] === "\r" ? end - 1 : end;
}

function insertLines(text: string, at: number, indent: string, fields: object): string {
  const newline = newlineOf(text);
  const lines = stringify([fields], { lineWidth: 0, collectionStyle: "block" }).trimEnd().split("\n");
  const written = lines.map((line) => `${newline}${indent}${line}`).join("");
  const end = at === text.length ? newline : "";
  return text.slice(0, at) + written + end + text.slice(at);
}
