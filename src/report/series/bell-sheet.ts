import type { SeriesBellResult } from "../../series/index.ts";
import { figure, legend, section } from "../figure.ts";
import { foreign, type Html, type HtmlValue, html } from "../html.ts";
import { estimateText, plainNumber } from "../numbers.ts";
import { facts, plainRows, table } from "../table.ts";
import { type historyChart, historyId, historyLegend } from "./history-chart.ts";
import {
  centsText,
  lastMeasured,
  nextCutText,
  projectionText,
  removedText,
  sensitivityText,
} from "./words.ts";

/** Address of the tap report of a pass, relative to the page; null where there is none. */
export type TapLink = (bell: number, pass: number) => string | null;

/** One bell under its own heading: what it should be, its passes, what cuts do, what comes next. */
export function bellSheet(
  bell: SeriesBellResult,
  index: number,
  chart: ReturnType<typeof historyChart>,
  tapLink: TapLink,
): Html {
  const { alloy, massKg, diameterMm } = bell;
  const told: [HtmlValue, HtmlValue][] = [
    [
      "strike note wanted",
      html`${Number.isNaN(Number.parseFloat(bell.target)) ? html`${foreign(bell.target)}, ` : null}${plainNumber(bell.targetHz, 2)}\u00a0Hz`,
    ],
    ["mean deviation", centsText(bell.meanCents, "cents")],
    ...(alloy === null ? [] : [["alloy", foreign(alloy)] as [HtmlValue, HtmlValue]]),
    ...(massKg === null ? [] : [["as cast", `${massKg}\u00a0kg`] as [HtmlValue, HtmlValue]]),
    ...(diameterMm === null ? [] : [["diameter", `${diameterMm}\u00a0mm`] as [HtmlValue, HtmlValue]]),
  ];
  return section(
    `bell-${index + 1}`,
    bell.name,
    html`${facts(told)}<p class="lead">Next: ${foreign(nextCutText(bell))}.</p>
${chart === null ? null : history(bell, index)}${currentTable(bell)}${passTable(bell, index, tapLink)}${bell.sensitivity.length === 0 ? null : cutTable(bell)}`,
  );
}

function history(bell: SeriesBellResult, index: number): Html {
  return html`${legend(historyLegend(bell))}${figure({
    id: historyId(index),
    caption: html`<strong>${foreign(bell.name)}</strong>: cents from target, pass by pass.`,
    description: `Cents from target of every partial of ${bell.name} against its passes; the table below holds the numbers.`,
    small: false,
    mark: null,
  })}`;
}

function currentTable(bell: SeriesBellResult): Html | null {
  const last = lastMeasured(bell);
  if (last === undefined) return null;
  return table({
    caption: `The partials after pass ${bell.passes.indexOf(last) + 1}.`,
    name: `Partials of ${bell.name}`,
    columns: [
      { head: "partial", kind: "text" },
      ...["frequency, Hz", "target, Hz", "from target, cents", "rings for, s"].map((head) => ({
        head,
        kind: "number" as const,
      })),
    ],
    rows: plainRows(
      last.partials.map(({ name, frequencyHz, targetHz, deviationCents, decayTimeS }) => [
        foreign(name),
        estimateText(frequencyHz, "frequency"),
        plainNumber(targetHz, 2),
        centsText(deviationCents),
        estimateText(decayTimeS, "time"),
      ]),
    ),
  });
}

function passTable(bell: SeriesBellResult, index: number, tapLink: TapLink): Html {
  const names = [...new Set(bell.passes.flatMap(({ partials }) => partials.map(({ name }) => name)))];
  const rows = bell.passes.map((pass, p): HtmlValue[] => {
    const link = pass.measured ? tapLink(index, p) : null;
    const number = link === null ? html`${p + 1}` : html`<a href="${link}">${p + 1}, tap report</a>`;
    const temperature = pass.metalC === null ? "\u2013" : plainNumber(pass.metalC, 1);
    return [
      number,
      foreign(pass.date ?? "\u2013"),
      pass.measured ? foreign(removedText(pass)) : html`${foreign(removedText(pass))}; not measured`,
      pass.temperatureCorrected ? `${temperature}, corrected` : temperature,
      ...names.map((name) =>
        centsText(pass.partials.find((partial) => partial.name === name)?.deviationCents ?? null),
      ),
    ];
  });
  return table({
    caption:
      "Every pass: what was taken off since the one before, and where each partial then lay, cents from target.",
    name: `Passes of ${bell.name}`,
    columns: [
      { head: "pass", kind: "text" },
      { head: "date", kind: "text" },
      { head: "taken off", kind: "text" },
      { head: "metal, °C", kind: "text" },
      ...names.map((name) => ({ head: foreign(name), kind: "number" as const })),
    ],
    rows: plainRows(rows),
  });
}

function cutTable(bell: SeriesBellResult): Html {
  return table({
    caption:
      "What taking metal off does, from the cuts on this bell and on similar ones, and how much it would take for each partial alone. The half-widths hold 95\u00a0% of outcomes.",
    name: `Cuts of ${bell.name}`,
    columns: [
      { head: "partial", kind: "text" },
      { head: "at", kind: "text" },
      { head: "moves by", kind: "number" },
      { head: "cuts, bells", kind: "number" },
      { head: "to reach its target", kind: "text" },
      { head: "after the next cut, cents", kind: "number" },
    ],
    rows: plainRows(
      bell.sensitivity.map((each, i) => {
        const next =
          bell.nextCut?.at === each.at
            ? bell.nextCut.outcomes.find(({ partial }) => partial === each.partial)
            : undefined;
        return [
          foreign(each.partial),
          foreign(each.at),
          sensitivityText(each),
          `${each.cuts}, ${each.bells}`,
          projectionText(bell.projections[i]!),
          centsText(next?.predictedCents ?? null),
        ];
      }),
    ),
  });
}
