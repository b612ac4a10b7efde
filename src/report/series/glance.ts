import type { Estimate } from "../../measurement/index.ts";
import type { SeriesResult } from "../../series/index.ts";
import { roundUp } from "../axes.ts";
import { foreign, type Html, html } from "../html.ts";
import { centredStrip, stripText } from "../strip.ts";
import { table } from "../table.ts";
import { centsText, lastMeasured, partialNames, targetText } from "./words.ts";

const LEAST_LIMIT_CENTS = 10;

/** The set in one table: bells by partials, how far each lies from its target after the last pass. Needs no script. */
export function seriesGlance(result: SeriesResult): Html {
  const names = partialNames(result);
  const cents = result.bells.flatMap((bell) => lastMeasured(bell)?.partials ?? []);
  if (cents.length === 0) return html`<p>There is nothing to picture: no partial was measured.</p>\n`;
  const reach = cents.map(({ deviationCents: d }) => Math.abs(d.value) + d.ci95);
  const limit = roundUp(Math.max(LEAST_LIMIT_CENTS, ...reach));
  const cell = (deviation: Estimate | null | undefined): Html =>
    deviation ? html`${centredStrip(deviation, limit)}${stripText(centsText(deviation))}` : html`\u2013`;
  return html`<div class="series-glance">${table({
    caption: `Cents from target after the last pass: flat to the left of each line, sharp to the right. A strip reaches from \u2212${limit} to +${limit} cents.`,
    name: "The set at a glance",
    columns: [
      { head: "bell", kind: "text" },
      { head: "target", kind: "text" },
      { head: "mean", kind: "text" },
      ...names.map((name) => ({ head: foreign(name), kind: "text" as const })),
    ],
    rows: result.bells.map((bell, i) => ({
      cells: [
        html`<a href="#bell-${i + 1}">${foreign(bell.name)}</a>`,
        foreign(targetText(bell)),
        cell(bell.meanCents),
        ...names.map((name) =>
          cell(lastMeasured(bell)?.partials.find((partial) => partial.name === name)?.deviationCents),
        ),
      ],
      mark: null,
    })),
  })}</div>
`;
}
