import { readdirSync, readFileSync } from "node:fs";
import { join, relative, resolve } from "node:path";

export const ROOT = resolve(import.meta.dirname, "..", "..");

/** Every document that a reader is meant to follow, by its path from the root. */
export const DOCUMENTS = [
  "README.md",
  "DEVELOPERS.md",
  ...readdirSync(join(ROOT, "docs"), { recursive: true, encoding: "utf8" })
    .map((name) => `docs/${name.replaceAll("\\", "/")}`)
    .filter((name) => name.endsWith(".md"))
    .sort(),
];

export const readDocument = (path: string): string => readFileSync(join(ROOT, path), "utf8");

export interface Fence {
  /** The word after the backticks, as in sh; empty where there is none. */
  language: string;
  text: string;
  /** Line of the opening backticks, from 1. */
  line: number;
}

/** The fenced blocks of a document, in order. */
export function fencesOf(markdown: string): Fence[] {
  const fences: Fence[] = [];
  let open: { language: string; line: number; lines: string[] } | null = null;
  for (const [i, line] of markdown.split("\n").entries()) {
    const mark = /^```(\w*)$/.exec(line);
    if (open === null && mark) open = { language: mark[1]!, line: i + 1, lines: [] };
    else if (open !== null && line === "```") {
      fences.push({ language: open.language, line: open.line, text: open.lines.join("\n") });
      open = null;
    } else open?.lines.push(line);
  }
  return fences;
}

/** The document without its fenced blocks. */
export function proseOf(markdown: string): string {
  return markdown.replace(/^```\w*\n[\s\S]*?^```$/gm, "");
}

/** Targets of the links in the prose that lead into the project: "docs/series.md#cuts", "#cuts". */
export function linksOf(markdown: string): string[] {
  return [...proseOf(markdown).matchAll(/\]\(([^)\s]+)\)/g)]
    .map((match) => match[1]!)
    .filter((target) => !/^[a-z]+:/.test(target));
}

/** The anchors that headings give, by the rule of the common hosts of Markdown: lower case, no signs, hyphens for blanks. */
export function anchorsOf(markdown: string): Set<string> {
  const anchors = new Set<string>();
  for (const [, heading] of proseOf(markdown).matchAll(/^#{1,6} (.*)$/gm)) {
    const slug = heading!
      .toLowerCase()
      .replace(/[^\p{L}\p{N}_\- ]/gu, "")
      .replaceAll(" ", "-");
    let anchor = slug;
    for (let n = 1; anchors.has(anchor); n++) anchor = `${slug}-${n}`;
    anchors.add(anchor);
  }
  return anchors;
}

export const fromRoot = (path: string): string => relative(ROOT, path).replaceAll("\\", "/");
