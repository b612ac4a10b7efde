import { type Html, type HtmlValue, html } from "./html.ts";

export interface TableColumn {
  head: HtmlValue;
  /** Numbers are set to the right, in figures of one width. */
  kind: "text" | "number";
}

export interface TableRow {
  /** The first cell is the head of its row. */
  cells: HtmlValue[];
  /** What the row stands for; the client makes the head of a marked row a button. */
  mark: number | null;
}

export interface TableParts {
  caption: HtmlValue;
  /** Plain words for those who hear the table instead of seeing it, when it has to be scrolled. */
  name: string;
  columns: TableColumn[];
  rows: TableRow[];
}

/** Rows that stand for nothing in the charts. */
export const plainRows = (rows: HtmlValue[][]): TableRow[] => rows.map((cells) => ({ cells, mark: null }));

/** Where there is no room a line may end between a value and its interval; the style sheet says where. */
const breakBeforeInterval = (cell: HtmlValue): HtmlValue =>
  typeof cell === "string" ? cell.replace(/[ \u00a0]\u00b1[ \u00a0]/g, " \u00b1\u00a0") : cell;

function row({ cells, mark }: TableRow, columns: TableColumn[]): Html {
  const rest = cells
    .slice(1)
    .map((cell, i) =>
      columns[i + 1]!.kind === "number"
        ? html`<td class="number">${breakBeforeInterval(cell)}</td>`
        : html`<td>${cell}</td>`,
    );
  const chooser = mark === null ? html`${cells[0]!}` : html`<span data-choose="${mark}">${cells[0]!}</span>`;
  return html`<tr${mark === null ? null : html` data-mark="${mark}"`}><th scope="row"${columns[0]!.kind === "number" ? html` class="number"` : null}>${chooser}</th>${rest}</tr>\n`;
}

/** A table that can be scrolled sideways, by keyboard too, where it is wider than the page. */
export function table({ caption, name, columns, rows }: TableParts): Html {
  const heads = columns.map(
    ({ head, kind }) => html`<th scope="col"${kind === "number" ? html` class="number"` : null}>${head}</th>`,
  );
  return html`<div class="scroll" role="group" aria-label="${name}" tabindex="0">
<table>
<caption>${caption}</caption>
<thead><tr>${heads}</tr></thead>
<tbody>
${rows.map((each) => row(each, columns))}</tbody>
</table>
</div>
`;
}

/** Pairs of a term and its value, for facts that need no table. */
export function facts(pairs: [HtmlValue, HtmlValue][]): Html {
  return html`<dl class="facts">${pairs.map(([term, value]) => html`<div><dt>${term}</dt><dd>${value}</dd></div>`)}</dl>
`;
}
