import type { Estimate } from "../../measurement/index.ts";
import { CUTTING_CAUTIONS, type SeriesResult } from "../../series/index.ts";
import { section } from "../figure.ts";
import { foreign, type Html, html } from "../html.ts";
import { countOf, estimateText, plainNumber } from "../numbers.ts";
import { page } from "../page.ts";
import { plainRows, table } from "../table.ts";
import { findingsList } from "../tap/findings.ts";
import { bellSheet, type TapLink } from "./bell-sheet.ts";
import { seriesGlance } from "./glance.ts";
import { historyChart } from "./history-chart.ts";
import {
  centsText,
  nextCutText,
  partialNames,
  STATED_INTERVALS,
  temperatureText,
  tuningText,
} from "./words.ts";

export interface HtmlSeriesParts {
  /** Text of chart.js, the build for script tags. */
  chartJsSource: string;
  /** Text of the bundled client script. */
  script: string;
  /** Where the tap reports lie, if they were written. */
  tapLink: TapLink;
  /** When the report was made, in words; left out where the caller does not say. */
  generatedAt?: string;
}

/**
 * The report on a series: a single HTML file that fetches nothing. The set at a glance comes first, then what to cut, the
 * intervals, the decay times, and a sheet for each bell. Every number stands in a table, so it reads without scripts too.
 */
export async function htmlSeries(result: SeriesResult, parts: HtmlSeriesParts): Promise<string> {
  const charts = result.bells.map(historyChart);
  const temperature = temperatureText(result);
  const made = parts.generatedAt === undefined ? null : html`, ${parts.generatedAt}`;
  return page({
    title: `${result.set} \u2013 a set of bells`,
    masthead: html`<p class="kind">A set of bells and its tuning</p>
<h1>${foreign(result.set)}</h1>
<p class="lead">${countOf(result.bells.length, "bell")}: ${foreign(tuningText(result))}</p>
${temperature === null ? null : html`<p>${foreign(temperature)}</p>`}`,
    main: html`${contents(result)}${section("glance", "At a glance", html`${seriesGlance(result)}<p class="remark">${STATED_INTERVALS}</p>\n`)}
${section("findings", "Findings", findingsList({ findings: result.findings, partials: [], recordings: [], source: "this set" }))}
${section("cuts", "Next cuts", nextCuts(result))}
${section("intervals", "Intervals between neighbours", intervals(result))}
${section("decay", "Decay times", decays(result))}
${result.bells.map((bell, i) => bellSheet(bell, i, charts[i]!, parts.tapLink))}`,
    foot: html`<p>${result.tool.name} ${result.tool.version}, method ${result.tool.method}${made}. This file holds everything it shows and asks nothing of any network.</p>`,
    data: { charts: charts.flatMap((chart) => chart ?? []), voices: [] },
    scripts: [parts.chartJsSource, parts.script],
  });
}

const SECTIONS: [string, string][] = [
  ["glance", "At a glance"],
  ["findings", "Findings"],
  ["cuts", "Next cuts"],
  ["intervals", "Intervals"],
  ["decay", "Decay times"],
];

function contents({ bells }: SeriesResult): Html {
  const all: [string, Html][] = [
    ...SECTIONS.map(([id, text]): [string, Html] => [id, html`${text}`]),
    ...bells.map(({ name }, i): [string, Html] => [`bell-${i + 1}`, foreign(name)]),
  ];
  return html`<nav class="contents" aria-label="Contents"><ul>${all.map(([id, text]) => html`<li><a href="#${id}">${text}</a></li>`)}</ul></nav>
`;
}

function nextCuts(result: SeriesResult): Html {
  const cuts = result.bells.map(
    (bell, i) =>
      html`<li><a href="#bell-${i + 1}">${foreign(bell.name)}</a>: ${foreign(nextCutText(bell))}</li>\n`,
  );
  return html`<p>Metal does not go back on: a cut stops short, so that in 95\u00a0% of outcomes none of the partials it brings nearer is taken past its target. Weigh what comes off, measure again, and the next cut will be known better.</p>
<ul>${cuts}</ul>
<h3>Before you cut</h3>
<ul class="cautions">${CUTTING_CAUTIONS.map((caution) => html`<li>${caution}</li>`)}</ul>
`;
}

/** The interval's value; its half-width is that of the error, which stands beside it. */
const asFarAsKnown = (cents: Estimate): string => estimateText(cents, "cents").split("\u00a0")[0]!;

function intervals(result: SeriesResult): Html {
  if (result.intervals.length === 0) return html`<p>No two neighbours have a partial in common.</p>\n`;
  const names = partialNames(result);
  const pairs = [...new Map(result.intervals.map((each) => [`${each.from}\n${each.to}`, each])).values()];
  return table({
    caption:
      "From each bell to the next in the file: the interval in cents, and in brackets how much too wide (+) or too narrow (\u2212) it is.",
    name: "Intervals between neighbours",
    columns: [
      { head: "from", kind: "text" },
      { head: "to", kind: "text" },
      { head: "wanted", kind: "number" },
      ...names.map((name) => ({ head: foreign(name), kind: "number" as const })),
    ],
    rows: plainRows(
      pairs.map(({ from, to, targetCents }) => [
        foreign(from),
        foreign(to),
        plainNumber(targetCents, 1),
        ...names.map((name) => {
          const found = result.intervals.find(
            (each) => each.from === from && each.to === to && each.partial === name,
          );
          return found === undefined
            ? "\u2013"
            : `${asFarAsKnown(found.intervalCents)} (${centsText(found.errorCents)})`;
        }),
      ]),
    ),
  });
}

function decays({ decaySpread }: SeriesResult): Html {
  if (decaySpread.length === 0) return html`<p>No two bells have a partial in common.</p>\n`;
  return table({
    caption:
      "How long each partial rings over the set (until 60 dB down). The spread is that of the loss factor, which allows for pitch: a lower bell of the same metal rings longer.",
    name: "Decay times over the set",
    columns: [
      { head: "partial", kind: "text" },
      ...["bells", "shortest, s", "longest, s", "spread of the loss factor, %"].map((head) => ({
        head,
        kind: "number" as const,
      })),
    ],
    rows: plainRows(
      decaySpread.map(({ partial, bells, shortestS, longestS, spreadPercent }) => [
        foreign(partial),
        bells,
        estimateText(shortestS, "time"),
        estimateText(longestS, "time"),
        estimateText(spreadPercent, "percent"),
      ]),
    ),
  });
}
