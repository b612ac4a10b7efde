import { cellWidth, padEnd, padStart } from "./cells.ts";

export interface TextColumn {
  head: string;
  /** Numbers to the right, words to the left. */
  align: "left" | "right";
  cells: string[];
  /** Where the table is too wide, the column with the highest number goes first; 0 always stays. */
  dropOrder: number;
}

export interface TextTable {
  lines: string[];
  /** Heads of the columns that found no room. */
  dropped: string[];
}

const GAP = 2;

/** Columns side by side within `width` cells; those that find no room are left out and named. */
export function textTable(columns: TextColumn[], width: number): TextTable {
  const sized = columns.map((column) => ({
    ...column,
    size: Math.max(cellWidth(column.head), ...column.cells.map(cellWidth)),
  }));
  const total = (shown: typeof sized) => shown.reduce((sum, { size }) => sum + size + GAP, -GAP);
  let shown = sized;
  const dropped: string[] = [];
  while (total(shown) > width) {
    const next = shown.reduce((a, b) => (b.dropOrder > a.dropOrder ? b : a));
    if (next.dropOrder === 0) break;
    dropped.push(next.head);
    shown = shown.filter((column) => column !== next);
  }
  const line = (cellOf: (column: (typeof sized)[number]) => string) =>
    shown
      .map((column) => (column.align === "left" ? padEnd : padStart)(cellOf(column), column.size))
      .join(" ".repeat(GAP))
      .trimEnd();
  const rows = columns[0]?.cells.length ?? 0;
  return {
    lines: [
      line(({ head }) => head),
      ...Array.from({ length: rows }, (_, i) => line(({ cells }) => cells[i]!)),
    ],
    dropped,
  };
}
