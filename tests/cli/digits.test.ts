import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { lazyEngine as engine } from "../../src/cli/engine.ts";
import { fillBenchFolder } from "../docs/bench-folder.ts";
import { ROOT } from "../docs/markdown.ts";
import {
  bareNumbers,
  digitsOf,
  faultsIn,
  faultsInTables,
  onOneLine,
  shown,
} from "../report/support/digits.ts";
import { ringwright, temporaryFolder } from "./harness.ts";

const SERIES = `set: garden row
bells:
  - name: first
    target: C6
    passes:
      - recordings: [first-0.wav]
      - recordings: [first-1.wav, first-1b.wav]
        removedG: 12
        at: inner lip
`;

/** Command lines, one after the other in one folder, and the fewest numbers with an interval that the text, the page and its tables with a unit in the head hold. */
const CASES: { what: string; lines: string[]; text: number; page: number; tables: number }[] = [
  {
    what: "a bell with a split, three strikes",
    lines: ["tap guide-1.wav guide-2.wav guide-3.wav --ridges 4"],
    text: 30,
    page: 130,
    tables: 80,
  },
  { what: "a short recording", lines: ["tap bell.wav"], text: 20, page: 100, tables: 50 },
  { what: "the demonstration", lines: ["compare --demo"], text: 40, page: 200, tables: 80 },
  {
    what: "two castings, a strike of each",
    lines: ["compare heat1.wav heat2.wav"],
    text: 30,
    page: 150,
    tables: 60,
  },
  {
    what: "a saved measurement against another",
    lines: ["compare noisy.json noisy.json"],
    text: 2,
    page: 10,
    tables: 15,
  },
  { what: "a series", lines: ["series row.yaml"], text: 5, page: 20, tables: 15 },
  {
    what: "a scaled pattern",
    lines: ["tap bell.wav --json bell.json", "plan scale bell.json --note C6 --diameter 180mm --mass 4.2kg"],
    text: 10,
    page: 10,
    tables: 0,
  },
  {
    what: "a casting beside its plan, in pounds and inches",
    lines: [
      "tap bell.wav --json bell.json",
      "tap bell-1.wav --json casting.json",
      "plan scale bell.json --note C6 --diameter 180mm --mass 4.2kg --json plan.json",
      "plan review plan.json casting.json --mass 4.21kg --diameter 181mm --units us",
    ],
    text: 10,
    page: 10,
    tables: 0,
  },
  { what: "a density", lines: ["plan density --air 812g --water 718g"], text: 4, page: 4, tables: 0 },
];

describe("every number that is printed", () => {
  it.each(CASES)(
    "of $what ends where its interval does, with two digits of an interval that is no finer than matters",
    async ({ lines, text, page, tables }) => {
      const cwd = temporaryFolder();
      fillBenchFolder(cwd);
      writeFileSync(join(cwd, "row.yaml"), SERIES);
      writeFileSync(
        join(cwd, "noisy.json"),
        readFileSync(join(ROOT, "fixtures/measurement/tap-1-noisy.json")),
      );
      let printed = "";
      for (const [i, line] of lines.entries()) {
        const argv = line.split(" ").concat(i === lines.length - 1 ? ["--html", "page.html"] : []);
        const { status, stdout, stderr } = await ringwright(argv, { cwd, engine });
        expect(status, stderr).toBe(0);
        printed = stdout;
      }
      const document = readFileSync(join(cwd, "page.html"), "utf8");
      const texts = { text: onOneLine(printed), page: shown(document) };
      const found = {
        text: faultsIn(texts.text),
        page: faultsIn(texts.page),
        tables: faultsInTables(document),
      };
      expect(found.text.faults).toEqual([]);
      expect(found.page.faults).toEqual([]);
      expect(found.tables.faults).toEqual([]);
      expect(found.text.count).toBeGreaterThanOrEqual(text);
      expect(found.page.count).toBeGreaterThanOrEqual(page);
      expect(found.tables.count).toBeGreaterThanOrEqual(tables);
      // What has none is a count, a setting, or rounded.
      for (const { number, context } of [...bareNumbers(texts.text), ...bareNumbers(texts.page)])
        expect(digitsOf(number), context).toBeLessThanOrEqual(6);
    },
    60_000,
  );
});
