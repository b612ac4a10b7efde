import { CAUTIONS_SOURCE, MOLTEN_METAL_CAUTIONS, type PlanDocument } from "../../foundry/index.ts";
import { section } from "../figure.ts";
import { foreign, type Html, html, prose } from "../html.ts";
import { page } from "../page.ts";
import { plainRows, table } from "../table.ts";
import { planSheet } from "./plan-sheet.ts";
import type { SheetTable } from "./sheet.ts";
import type { UnitSystem } from "./units.ts";

/**
 * A plan as one page to print and take to the furnace: what it comes to, the tables, the cautions for molten metal.
 * One file that fetches nothing and runs no script.
 *
 * @param generatedAt when it was made, in words; left out where the caller does not say
 */
export async function htmlPlan(plan: PlanDocument, units: UnitSystem, generatedAt?: string): Promise<string> {
  const sheet = planSheet(plan, units);
  const attention = sheet.attention.map(
    (text) =>
      html`<li class="finding attention"><p><span class="outcome">attention</span> ${foreign(text)}</p></li>`,
  );
  const made = generatedAt === undefined ? null : html`, ${generatedAt}`;
  return page({
    title: sheet.title,
    masthead: html`<p class="kind">Plan for a casting</p>
<h1>${foreign(sheet.title)}</h1>`,
    main: html`<div class="plan-sheet">
${sheet.lead.map((line) => html`<p class="lead">${prose(line)}</p>\n`)}${attention.length === 0 ? null : html`<ul class="findings">${attention}</ul>\n`}
${sheet.tables.length === 0 ? null : section("figures", "In figures", sheet.tables.map(sheetTable))}
${sheet.cautions === "never" ? null : section("cautions", "Before you pour", html`${list(MOLTEN_METAL_CAUTIONS.map(({ text }) => text))}${list([CAUTIONS_SOURCE], "sources")}`)}
${section("notes", "Notes and sources", html`${list(sheet.notes)}${list(sheet.sources, "sources")}`)}
</div>`,
    foot: html`<p>${plan.tool.name} ${plan.tool.version}${made}. This file holds everything it shows and asks nothing of any network.</p>`,
    data: { charts: [], voices: [] },
    scripts: [],
  });
}

function list(items: string[], kind = "notes"): Html | null {
  if (items.length === 0) return null;
  return html`<ul class="${kind}">${items.map((item) => html`<li>${prose(item)}</li>`)}</ul>\n`;
}

function sheetTable({ caption, head, rows, words = [] }: SheetTable): Html {
  return table({
    caption,
    name: caption,
    columns: head.map((title, at) => ({
      head: title,
      kind: at === 0 || words.includes(at) ? ("text" as const) : ("number" as const),
    })),
    rows: plainRows(rows.map((row) => row.map(foreign))),
  });
}
