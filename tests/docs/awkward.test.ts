import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { SCENES } from "../support/awkward/scenes.ts";
import { readDocument } from "./markdown.ts";

const page = readDocument("docs/awkward-recordings.md");
const rows = (heading: string): string[][] => {
  const section = page.split(`## ${heading}\n`)[1]!.split("\n## ")[0]!;
  const lines = section.split("\n").filter((line) => line.startsWith("| "));
  return lines.slice(2).map((line) => line.slice(2, -2).split(" | "));
};

/** Of the finding that it names, the titles that a reader meets, as they stand in the source. */
const sources = new URL("../../src/findings/", import.meta.url);
const code = readdirSync(sources)
  .filter((name) => name.endsWith(".ts"))
  .map((name) => readFileSync(new URL(name, sources), "utf8"))
  .join("\n");

describe("docs/awkward-recordings.md", () => {
  it("awkward-recordings.md has a row for each scene in each of its tables, in the order of the scenes", () => {
    const titles = SCENES.map(({ title }) => title);
    for (const heading of ["What Ringwright says", "What is done", "How often it is right"]) {
      expect(rows(heading).map(([title]) => title)).toEqual(titles);
    }
  });

  it("awkward-recordings.md tells what is done, and where the numbers come from, as the scenes do", () => {
    expect(rows("What is done")).toEqual(SCENES.map(({ title, done, source }) => [title, done, source]));
  });

  it("awkward-recordings.md quotes titles that findings have", () => {
    const quoted = rows("What Ringwright says").flatMap(([, says]) =>
      [...says!.matchAll(/"([^"]+)"/g)].map((match) => match[1]!),
    );
    expect(quoted.length).toBeGreaterThan(SCENES.length);
    // These are put together from words and numbers.
    const fixed = quoted.filter((title) => !/^(Suspect|Nothing above)/.test(title));
    for (const title of fixed) expect(code).toContain(`"${title}"`);
  });
});
