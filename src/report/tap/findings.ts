import type { Evidence, Finding, FindingOutcome } from "../../measurement/index.ts";
import { moreNumbers } from "../figure.ts";
import { foreign, type Html, type HtmlValue, html, prose } from "../html.ts";
import { countOf, evidenceText, keepTogether, plainNumber, shownNumber } from "../numbers.ts";
import { plainRows, table } from "../table.ts";
import { judgedFindings, notMeasurable, OUTCOME_WORDS, partialLabel } from "./words.ts";

/** Findings, and what their evidence points into. */
export interface Judged {
  findings: Finding[];
  partials: { name: string | null }[];
  recordings: { file: string }[];
  /** What the ids of the list items begin with; "finding" where not given. */
  idPrefix?: string;
  /** The id of the part of the page that a chart stands in, where that is not its plain word. */
  sectionId?: (section: string) => string;
  /** What the findings were drawn from; "this recording" where not given. */
  source?: string;
}

/** Signs drawn beside the word, each of its own shape. */
const SIGNS: Record<FindingOutcome, string> = {
  attention: "M8 1.5 15 14H1zM8 6v4m0 1.7v1",
  good: "M2 8.5 6.5 13 14 3.5",
  note: "M8 2v1.5M8 6v8",
  "not-measurable": "M2 8h12",
};

function sign(outcome: FindingOutcome): Html {
  return html`<svg class="sign" viewBox="0 0 16 16" aria-hidden="true"><path d="${SIGNS[outcome]}"/></svg>`;
}

/** Where the part of the page with this chart begins. */
const CHART_SECTIONS = {
  spectrum: "spectrum",
  "ring-down": "ring-down",
  deviation: "deviation",
  beats: "beats",
} as const;

type Cell = string | number | null;

/** A number as a finding writes it: alone, with its interval, with a power of ten, or a range. */
const WRITTEN_NUMBER = /^\(?[-\u2212]?\d+(\.\d+)?( \u00b1 \d+(\.\d+)?\)?)?( \u00d7 10\S+)?$|^\d+ to \d+$/;

const isNumber = (cell: Cell): boolean => typeof cell !== "string" || WRITTEN_NUMBER.test(cell);

function cellText(cell: Cell): HtmlValue {
  if (cell === null) return "\u2013";
  if (typeof cell === "number") return shownNumber(cell);
  // The table breaks a number where it must.
  return WRITTEN_NUMBER.test(cell)
    ? cell.replace(/-/g, "\u2212").replace(/ /g, "\u00a0")
    : foreign(keepTogether(cell));
}

function evidenceItem(evidence: Evidence, m: Judged): Html {
  switch (evidence.kind) {
    case "number": {
      return html`<li>${foreign(evidence.label)}: ${evidenceText(evidence)}</li>`;
    }
    case "time": {
      const { label, fromS, toS, recording } = evidence;
      const where =
        m.recordings.length > 1
          ? html` of ${foreign(m.recordings[recording]?.file ?? "the recording")}`
          : null;
      return html`<li>${foreign(label)}: ${plainNumber(fromS, 3)} to ${plainNumber(toS, 3)}\u00a0s${where}</li>`;
    }
    case "chart": {
      const { label, chart, partial } = evidence;
      const at = partial === null ? null : html` data-choose-quietly="${partial}"`;
      const of = partial === null ? null : html` (${foreign(partialLabel(m, partial))})`;
      return html`<li><a href="#${m.sectionId?.(CHART_SECTIONS[chart]) ?? CHART_SECTIONS[chart]}"${at}>${foreign(label)}${of}</a></li>`;
    }
    case "table": {
      const { label, columns, rows } = evidence;
      return html`<li>${table({
        caption: foreign(label),
        name: label,
        columns: columns.map((head, i) => ({
          head: foreign(head),
          kind: rows.every((row) => isNumber(row[i] ?? null)) ? "number" : "text",
        })),
        rows: plainRows(rows.map((row) => row.map(cellText))),
      })}</li>`;
    }
  }
}

function finding({ id, title, outcome, text, evidence }: Finding, m: Judged): Html {
  const shown = evidence.map((each) => evidenceItem(each, m));
  const list = shown.length === 0 ? null : html`<ul class="evidence">${shown}</ul>`;
  // Tables are long: they wait behind a summary, the short kinds stand in the open.
  const long = evidence.some((each) => each.kind === "table");
  return html`<li class="finding ${outcome}" id="${m.idPrefix ?? "finding"}-${id}">
<h3>${sign(outcome)}<span class="outcome">${OUTCOME_WORDS[outcome]}</span> ${foreign(title)}</h3>
<p>${prose(text)}</p>
${long ? html`<details class="more"><summary>Evidence<span class="only-read"> for: ${foreign(title)}</span></summary>${list}</details>` : list}
</li>
`;
}

function unjudged({ titles, reason }: { titles: string[]; reason: string }): Html {
  return html`<li><strong>${foreign(titles.join(", "))}</strong>: ${prose(reason)}</li>`;
}

/** From so many good findings on they are folded under their headings, so that they do not bury the rest. */
const FOLDED_FROM = 3;

/** What the measurement means, in the words of the findings; what asks for attention comes first. */
export function findingsList(m: Judged): Html {
  const judged = judgedFindings(m.findings);
  const groups = notMeasurable(m.findings);
  const count = groups.reduce((sum, group) => sum + group.titles.length, 0);
  const good = judged.filter((each) => each.outcome === "good");
  const isFolded = good.length >= FOLDED_FROM;
  const open = isFolded ? judged.filter((each) => each.outcome !== "good") : judged;
  const items = (each: Finding[]) =>
    each.length === 0 ? null : html`<ul class="findings">${each.map((one) => finding(one, m))}</ul>\n`;
  const folded = isFolded
    ? html`<div class="all-well">${moreNumbers(`All well: ${good.map(({ title }) => title).join("; ")}`, items(good)!)}</div>
`
    : null;
  const list = judged.length === 0 ? html`<p>There are no findings.</p>\n` : html`${items(open)}${folded}`;
  if (count === 0) return list;
  const summary = `${countOf(count, "question")} could not be answered from ${m.source ?? "this recording"}`;
  return html`${list}<div class="unjudged">${moreNumbers(summary, html`<ul>${groups.map(unjudged)}</ul>\n`)}</div>
`;
}
