import { CAUTIONS_SOURCE, MOLTEN_METAL_CAUTIONS, type PlanDocument } from "../../foundry/index.ts";
import { cut, printable, wrap } from "../terminal/cells.ts";
import { type TextColumn, textTable } from "../terminal/columns.ts";
import { makePaint, type Paint } from "../terminal/paint.ts";
import { planSheet } from "./plan-sheet.ts";
import type { PlanSheet, SheetTable } from "./sheet.ts";
import type { UnitSystem } from "./units.ts";

export interface PlanLook {
  /** Columns of the terminal; null where the output goes to a file or a pipe. */
  width: number | null;
  colour: boolean;
  units: UnitSystem;
}

const USUAL_WIDTH = 80;
const LEAST_WIDTH = 40;
const MOST_WIDTH = 100;
/** A name given by the user may be of any length. */
const MOST_NAME = 32;

/**
 * A plan for a terminal: what it comes to, what stands in the way, the tables, notes, sources, and for work with
 * molten metal the cautions. Ends with a line feed.
 */
export function terminalPlan(plan: PlanDocument, look: PlanLook): string {
  return terminalSheet(planSheet(plan, look.units), look);
}

/** Any sheet for a terminal. */
export function terminalSheet(sheet: PlanSheet, look: Omit<PlanLook, "units">): string {
  const width = Math.min(MOST_WIDTH, Math.max(LEAST_WIDTH, look.width ?? USUAL_WIDTH));
  const paint = makePaint(look.colour);
  return [
    ...sheet.lead.flatMap((line) => paragraph(line, width, 0)).map((line) => paint(line, "bold")),
    ...sheet.attention.flatMap((line) => marked("!", line, width)).map((line) => paint(line, "bold", "red")),
    ...sheet.tables.flatMap((table) => tableLines(table, width, paint)),
    ...block("Notes", sheet.notes, width, paint),
    ...block("Sources", sheet.sources, width, paint),
    ...(sheet.cautions === "always"
      ? block(
          "Before you pour",
          [...MOLTEN_METAL_CAUTIONS.map(({ text }) => text), CAUTIONS_SOURCE],
          width,
          paint,
        )
      : []),
    "",
  ].join("\n");
}

/** Printable text in lines; a fixed space keeps a number with its unit. */
function paragraph(text: string, width: number, indent: number): string[] {
  return wrap(text.split("\u00a0").map(printable).join("\u00a0"), width, indent);
}

function marked(sign: string, text: string, width: number): string[] {
  return paragraph(`${sign} ${text}`, width - 2, 2).map((line) => `  ${line}`);
}

function block(heading: string, items: string[], width: number, paint: Paint): string[] {
  if (items.length === 0) return [];
  return ["", paint(heading, "bold"), ...items.flatMap((item) => marked("-", item, width))];
}

function tableLines({ caption, head, rows, words = [] }: SheetTable, width: number, paint: Paint): string[] {
  const columns = head.map((title, at) => ({
    head: title,
    align: at === 0 || words.includes(at) ? ("left" as const) : ("right" as const),
    cells: rows.map((row) =>
      at === 0
        ? cut(printable(row[at]!), Math.max(MOST_NAME, head.length === 2 ? 60 : 0))
        : printable(row[at]!),
    ),
    dropOrder: 0,
  }));
  const body = fitting(columns, width) ?? withWordsBelow(columns, words, width) ?? stacked(head, rows, width);
  return ["", ...paragraph(caption, width, 0), paint(body[0]!, "bold"), ...body.slice(1)];
}

function fitting(columns: TextColumn[], width: number): string[] | null {
  const { lines } = textTable(columns, width);
  return lines.every((line) => [...line].length <= width) ? lines : null;
}

/**
 * As many columns side by side as fit, the others, which must all hold words, broken over lines below each row; null where
 * that leaves fewer than two.
 */
function withWordsBelow(columns: TextColumn[], words: number[], width: number): string[] | null {
  for (let kept = columns.length - 1; kept >= 2 && words.includes(kept); kept--) {
    const lines = fitting(columns.slice(0, kept), width);
    if (lines === null) continue;
    const below = columns.slice(kept);
    return lines.flatMap((line, at) => {
      const told = below.flatMap(({ head, cells }) =>
        at > 0 && cells[at - 1] !== "" ? [`${head}: ${cells[at - 1]}`] : [],
      );
      return told.length === 0
        ? [line]
        : [line, ...paragraph(told.join("; "), width - 4, 0).map((each) => `    ${each}`)];
    });
  }
  return null;
}

/** Where the columns do not fit side by side: each row as a small list. */
function stacked(head: string[], rows: string[][], width: number): string[] {
  return rows.flatMap((row) => [
    ...paragraph(row[0]!, width, 2),
    ...row
      .slice(1)
      .flatMap((cell, i) => (cell === "" ? [] : paragraph(`  ${head[i + 1]}: ${cell}`, width, 4))),
  ]);
}
