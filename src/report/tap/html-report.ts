import { askingFindings } from "../../findings/index.ts";
import type { TapMeasurement } from "../../measurement/index.ts";
import { base64 } from "../csp.ts";
import { moreNumbers, section } from "../figure.ts";
import { foreign, type Html, html, prose, trustedHtml } from "../html.ts";
import { estimateText, plainNumber, signedEstimateText } from "../numbers.ts";
import { page } from "../page.ts";
import { facts } from "../table.ts";
import { beatsSection, deviationSection, ringDownSection, spectrumSection } from "./chart-sections.ts";
import { findingsList } from "./findings.ts";
import { glance } from "./glance.ts";
import { glossary, method } from "./method.ts";
import {
  dampingTable,
  evidenceTable,
  mainTable,
  membersTable,
  notFoundTable,
  otherLinesTable,
} from "./partial-tables.ts";
import { recordingTables } from "./recording-tables.ts";
import { voices } from "./voices.ts";
import { bellLabel, headline, isMixture, unnamedNote } from "./words.ts";

export interface ReportAudio {
  /** A whole WAV file. */
  recordingWav?: Uint8Array;
  /** The stretch of the recording that it holds, s, and the largest that a report carries, MiB; null where it is whole. */
  cut?: { fromS: number; toS: number; mostMiB: number } | null;
}

export interface HtmlReportParts {
  /** Text of chart.js, the build for script tags. */
  chartJsSource: string;
  /** Text of the bundled client script. */
  script: string;
  /** The recording as a WAV file, to be played from the page; null leaves it out. */
  audio: ReportAudio | null;
  /** When the report was made, in words; left out where the caller does not say. */
  generatedAt?: string;
}

/** What asks for attention, each a link to its finding; null where nothing does. */
function asking({ findings }: TapMeasurement): Html | null {
  const links = askingFindings(findings).map(
    ({ id, title }) => html`<li><a href="#finding-${id}">${foreign(title)}</a></li>`,
  );
  if (links.length === 0) return null;
  return html`<div class="asks"><p>For attention:</p><ul>${links}</ul></div>\n`;
}

function masthead(m: TapMeasurement): Html {
  const { strikeNote, sustain } = m;
  const used = m.strikes.filter((strike) => strike.leftOut === null).length;
  return html`<p class="kind">One casting, heard and measured</p>
<h1>${foreign(bellLabel(m))}</h1>
<p class="lead">${prose(headline(m, "This bell", false))}.</p>
${asking(m)}${facts([
  [
    "strike note",
    strikeNote === null || isMixture(m)
      ? html`<strong>not told</strong>`
      : html`<strong>${foreign(strikeNote.note)}</strong> ${signedEstimateText(strikeNote.cents, "cents", "cents")}`,
  ],
  ["falls by 60 dB in", html`<strong>${estimateText(sustain.t60S, "time", "s")}</strong>`],
  ...(sustain.audibleS === null
    ? []
    : [
        [
          "heard until the noise, after",
          html`<strong>${estimateText(sustain.audibleS, "time", "s")}</strong>`,
        ] as [string, Html],
      ]),
  ["measured on", html`<strong>${used}</strong> ${used === 1 ? "strike" : "strikes"}`],
])}`;
}

function recordingWords({ recordings }: TapMeasurement, cut: NonNullable<ReportAudio["cut"]> | null): Html {
  const file = recordings[0]?.file;
  const which = recordings.length > 1 && file !== undefined ? html` ${foreign(file)}` : null;
  if (cut === null) return html`The recording${which} as it was read:`;
  return html`Of the recording${which} the stretch from ${plainNumber(cut.fromS, 1)} to ${plainNumber(cut.toS, 1)}\u00a0s, the strike that was measured longest: a report carries at most ${cut.mostMiB}\u00a0MiB of sound, and the rest is left to the file.`;
}

function listen(m: TapMeasurement, audio: HtmlReportParts["audio"]): Html {
  const recording = audio?.recordingWav;
  const player =
    recording === undefined
      ? null
      : html`<p>${recordingWords(m, audio?.cut ?? null)}</p>
<p><audio controls preload="metadata" id="recording" aria-label="The recording" src="data:audio/wav;base64,${trustedHtml(base64(recording))}"></audio></p>\n`;
  const rebuilt =
    m.partials.length === 0
      ? null
      : html`<p><button type="button" id="play-all">Hear the bell rebuilt from its partials</button></p>
<p>Choose a partial in any table to hear it alone; all are brought to the same peak, so weak ones can be heard too.</p>\n`;
  return html`<div class="needs-script">
${rebuilt}<p class="volume"><label for="volume">Volume</label> <input type="range" id="volume" min="0" max="100" value="25"> <output id="volume-text" for="volume">25\u00a0%</output></p>
</div>
${player}<p class="remark">Begin with the volume low, above all with headphones. Close to a struck bell the sound can harm hearing: protect it, and follow the rules that hold where you work.</p>
<p class="without-script">The partials can be heard only where scripts run.</p>
`;
}

const CONTENTS: [string, string][] = [
  ["glance", "At a glance"],
  ["findings", "Findings"],
  ["listen", "Listen"],
  ["partials", "Partials"],
  ["spectrum", "Spectrum"],
  ["ring-down", "Ring-down"],
  ["deviation", "Deviation"],
  ["beats", "Beats"],
  ["method", "Method"],
];

const contents = html`<nav class="contents" aria-label="Contents"><ul>${CONTENTS.map(([id, text]) => html`<li><a href="#${id}">${text}</a></li>`)}</ul></nav>
`;

/** What the profile expects and was not found; one sentence where nothing could be named at all. */
function expectedNotFound(m: TapMeasurement): Html | null {
  if (m.partials.every(({ name }) => name === null)) return html`<p>${prose(unnamedNote(m))}</p>\n`;
  const missing = notFoundTable(m);
  return missing === null ? null : html`<h3>Expected, not found</h3>\n${missing}`;
}

/**
 * The report on one casting: a single HTML file that fetches nothing. A sentence, the findings and a picture come first;
 * tables, charts, the recording and the method follow. Every number stands in a table, so it reads without scripts too.
 *
 * Pure, but asynchronous: the hashes of the content security policy come from WebCrypto.
 */
export async function htmlReport(m: TapMeasurement, parts: HtmlReportParts): Promise<string> {
  const spectrum = spectrumSection(m);
  const ringDown = ringDownSection(m);
  const deviation = deviationSection(m);
  const beats = beatsSection(m);
  const others = otherLinesTable(m);
  const members = m.partials.some((p) => p.doublet !== null) ? membersTable(m) : null;
  const tables =
    m.partials.length === 0
      ? html`<p>No partial was measured.</p>\n`
      : html`${mainTable(m)}${members}${dampingTable(m)}${evidenceTable(m)}`;
  const made = parts.generatedAt === undefined ? null : html`, ${parts.generatedAt}`;
  return page({
    title: `${bellLabel(m)} \u2013 bell measured from its sound`,
    masthead: masthead(m),
    main: html`${contents}${section("glance", "At a glance", glance(m))}
${section("findings", "Findings", findingsList(m))}
${section("listen", "Listen", listen(m, parts.audio))}
${section("partials", "Partials", html`${tables}${expectedNotFound(m)}${others === null ? null : html`<h3>Not partials</h3>\n${others}`}`)}
${spectrum.body}
${ringDown.body}
${deviation.body}
${beats.body}
${section("method", "How it was measured", html`${recordingTables(m)}${method(m)}${moreNumbers("Words used here", glossary())}`)}`,
    foot: html`<p>${m.tool.name} ${m.tool.version}${made}. This file holds everything it shows and asks nothing of any network.</p>`,
    data: {
      charts: [...spectrum.charts, ...ringDown.charts, ...deviation.charts, ...beats.charts],
      voices: voices(m),
    },
    scripts: [parts.chartJsSource, parts.script],
  });
}
