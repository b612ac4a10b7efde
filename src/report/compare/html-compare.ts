import type { Comparison } from "../../compare/index.ts";
import type { TapMeasurement } from "../../measurement/index.ts";
import type { ChartSpec } from "../chart-spec.ts";
import { section } from "../figure.ts";
import { foreign, type Html, html } from "../html.ts";
import { listOf } from "../numbers.ts";
import { page } from "../page.ts";
import { facts } from "../table.ts";
import { findingsList } from "../tap/findings.ts";
import { decaySection, ringDownSection, shiftSection, spectrumSection } from "./chart-sections.ts";
import { compareGlance } from "./glance.ts";
import { compareMethod } from "./method.ts";
import {
  acousticsTable,
  blowTable,
  castingsTable,
  overviewTable,
  pairsTable,
  unpairedTable,
  wholeTable,
} from "./tables.ts";
import { castingName, idOf, markOfCasting, markOfTurns, type TwoView, viewsOf } from "./view.ts";
import { comparedVoices } from "./voices.ts";
import { factsText, titleOf } from "./words.ts";

export interface HtmlCompareParts {
  /** Text of chart.js, the build for script tags. */
  chartJsSource: string;
  /** Text of the bundled client script. */
  script: string;
  /** When the report was made, in words; left out where the caller does not say. */
  generatedAt?: string;
}

const upperFirst = (text: string) => text.charAt(0).toUpperCase() + text.slice(1);

/** The result, every clause a link to the finding whose rows hold it up. */
function result(view: TwoView): Html {
  const clauses = view.two.result.clauses.map(({ text, finding }, i) => {
    // A number and its interval stay on one line.
    const words = (i === 0 ? upperFirst(text) : text).replaceAll(" \u00b1 ", "\u00a0\u00b1\u00a0");
    return html`${i === 0 ? null : "; "}<a href="#${idOf(view, "finding")}-${finding}">${foreign(words)}</a>`;
  });
  return html`<p class="lead result">${clauses}.</p>\n`;
}

function masthead(comparison: Comparison, views: readonly TwoView[]): Html {
  const { castings, scenario, a: reference } = comparison;
  const kind = `${views.length === 1 ? "Two" : views.length + 1} castings, heard and compared`;
  const invented =
    scenario === null
      ? null
      : html`<p class="remark"><strong>Invented, synthetic.</strong> ${foreign(scenario)}</p>\n`;
  return html`<p class="kind">${kind}</p>
<h1>${foreign(titleOf(castings, reference))}</h1>
${invented}${views.map(result)}${facts(
  [views[0].a, ...views.map(({ b }) => b)].map((casting) => [
    foreign(castingName(casting)),
    foreign(factsText(casting)),
  ]),
)}`;
}

function listen(views: readonly TwoView[]): Html {
  const chooser = (mark: number, text: string) => html`<span data-choose="${mark}">${text}</span> `;
  const { a, two } = views[0];
  const choosers = [
    chooser(markOfCasting(two.a), `Hear ${a.letter}`),
    ...views.map((view) => [
      chooser(markOfCasting(view.two.b), `Hear ${view.b.letter}`),
      chooser(markOfTurns(view), `Hear ${a.letter}, then ${view.b.letter}`),
    ]),
  ].flat();
  return html`<div class="needs-script">
<p>${choosers}</p>
<p>Rebuilt from the partials and brought to one A-weighted level at the strike; of a long ring that another follows, five seconds are played. Choose a partial in any table to hear it of ${a.letter} and then of ${listOf(views.map(({ b }) => b.letter))}.</p>
<p class="volume"><label for="volume">Volume</label> <input type="range" id="volume" min="0" max="100" value="25"> <output id="volume-text" for="volume">25\u00a0%</output></p>
</div>
<p class="remark">Begin with the volume low, above all with headphones. Close to a struck bell the sound can harm hearing: protect it, and follow the rules that hold where you work.</p>
<p class="without-script">The castings can be heard only where scripts run.</p>
`;
}

const CONTENTS: [string, string][] = [
  ["glance", "At a glance"],
  ["findings", "Findings"],
  ["listen", "Listen"],
  ["partials", "Partials"],
  ["spectrum", "Spectra"],
  ["ring-down", "Ring-downs"],
  ["decay", "Decay"],
  ["deviation", "Shift"],
  ["method", "Method"],
];

function contents(views: readonly TwoView[]): Html {
  const more = views
    .slice(1)
    .map((view): [string, string] => [idOf(view, "glance"), `${view.b.letter} against ${view.a.letter}`]);
  const links = [...CONTENTS.slice(0, -1), ...more, ...CONTENTS.slice(-1)];
  return html`<nav class="contents" aria-label="Contents"><ul>${links.map(([id, text]) => html`<li><a href="#${id}">${text}</a></li>`)}</ul></nav>
`;
}

/** All parts on one casting against the reference. */
function partsOf(view: TwoView): { body: Html; tail: Html; charts: ChartSpec[] } {
  const { two, a, b } = view;
  const at = (word: string) => idOf(view, word);
  const heading = (text: string) => (view.at === 0 ? text : `${text}: ${b.letter} against ${a.letter}`);
  const unpaired = unpairedTable(view);
  const tables =
    two.pairs.length === 0
      ? html`<p>No partial of one was found in the other.</p>\n`
      : html`${pairsTable(view)}${acousticsTable(view)}<h3>Without the blow</h3>\n${blowTable(view)}`;
  const sections = [spectrumSection, ringDownSection, decaySection, shiftSection].map((make) => make(view));
  return {
    body: html`${section(at("glance"), heading("At a glance"), compareGlance(view))}
${section(
  at("findings"),
  heading("Findings"),
  findingsList({
    findings: two.findings,
    partials: two.pairs,
    recordings: [],
    idPrefix: at("finding"),
    sectionId: at,
    source: "these recordings",
  }),
)}
`,
    tail: html`${section(
      at("partials"),
      heading("Partials"),
      html`${tables}${unpaired === null ? null : html`<h3>Unpaired</h3>\n${unpaired}`}<h3>Whole sound</h3>\n${wholeTable(view)}`,
    )}
${sections.map(({ body }) => body)}`,
    charts: sections.flatMap(({ charts }) => charts),
  };
}

/**
 * The report on castings side by side: a single HTML file that fetches nothing. The result comes first, each clause a link
 * to its rows; then a picture, the findings, what can be heard, tables and charts. It reads without scripts too.
 *
 * @param measurements those of the castings, in their order, for the curves and the sounds
 * @throws RangeError when there is not one measurement for each casting
 */
export async function htmlCompare(
  comparison: Comparison,
  measurements: readonly TapMeasurement[],
  parts: HtmlCompareParts,
): Promise<string> {
  const views = viewsOf(comparison, measurements);
  const [first, ...more] = views.map(partsOf);
  const overview = views.length === 1 ? null : section("overview", "All castings", overviewTable(views));
  const made = parts.generatedAt === undefined ? null : html`, ${parts.generatedAt}`;
  const title = titleOf(comparison.castings, comparison.a);
  return page({
    title: `${comparison.scenario === null ? "" : "Invented: "}${title} \u2013 castings compared`,
    masthead: masthead(comparison, views),
    main: html`${contents(views)}${overview}${first.body}
${section("listen", "Listen", listen(views))}
${first.tail}
${more.map(({ body, tail }) => html`${body}${tail}`)}
${section("method", "How they were compared", html`${castingsTable(comparison)}${compareMethod}`)}`,
    foot: html`<p>${comparison.tool.name} ${comparison.tool.version}${made}. This file holds everything it shows and asks nothing of any network.</p>`,
    data: {
      charts: [first, ...more].flatMap(({ charts }) => charts),
      voices: comparedVoices(views),
    },
    scripts: [parts.chartJsSource, parts.script],
  });
}
