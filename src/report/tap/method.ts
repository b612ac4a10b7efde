import type { Estimate, StrikeNoteCandidate, TapMeasurement } from "../../measurement/index.ts";
import { foreign, type Html, type HtmlValue, html } from "../html.ts";
import { estimateText, listOf, plainNumber, signedEstimateText } from "../numbers.ts";
import { facts, plainRows, table } from "../table.ts";
import { partialLabel } from "./words.ts";

function chosenWords(kind: TapMeasurement["kind"]): string {
  if (kind === undefined) return "";
  if (kind.chosenBy === "user") return ", chosen by the user";
  const sure = kind.probability === null ? "" : `, probability ${plainNumber(kind.probability, 2)}`;
  return kind.chosenBy === "recognised"
    ? `, recognised by the partials${sure}`
    : `, taken because no kind fits clearly better${sure}`;
}

/** Settings of this run that a second measurement must repeat. */
function settings({ options, kind, tool }: TapMeasurement): Html {
  const pins = Object.entries(options.pins).map(([name, hertz]) => `${name} at ${hertz} Hz`);
  return facts([
    ["A4", `${options.a4Hz}\u00a0Hz`],
    ["profile of ideal ratios", foreign(`${options.profile}${chosenWords(kind)}`)],
    ["pattern's symmetry", options.ridges === null ? "not given" : `${options.ridges}-fold`],
    ["names pinned by the user", pins.length === 0 ? "none" : foreign(listOf(pins))],
    ["program and method", `${tool.name} ${tool.version}, ${tool.method}`],
  ]);
}

function fitFacts({ fit }: TapMeasurement): Html {
  return facts([
    ["sum of free decays", fit.freeDecay ? "yes" : "no"],
    ["fit begins after the last contact", `${plainNumber(1000 * fit.startAfterContactS, 1)}\u00a0ms`],
    ["noise taken from", fit.noiseFrom],
    ["residual over degrees of freedom, median", plainNumber(fit.medianChi, 2)],
    ["lines tried, kept", `${fit.linesTried}, ${fit.linesKept}`],
    [
      "change of frequency after the blow",
      fit.glidePercent === null ? "none seen" : signedEstimateText(fit.glidePercent, "percent", "%"),
    ],
    [
      "noise beside partials that sound, over that of the quiet",
      fit.noisePassedDb ? estimateText(fit.noisePassedDb, "level", "dB") : "not seen to be louder",
    ],
    ["search ended by", foreign(fit.stopReason)],
  ]);
}

/** Ways to find a pitch often agree: those that give one note within their intervals, or within a cent, are one row. */
function onePitchOnce(candidates: StrikeNoteCandidate[]): StrikeNoteCandidate[] {
  const kept: StrikeNoteCandidate[] = [];
  for (const each of candidates) {
    const at = kept.findIndex(
      ({ note, cents }) =>
        note === each.note &&
        Math.abs(cents.value - each.cents.value) <= Math.max(1, cents.ci95 + each.cents.ci95),
    );
    const same = kept[at];
    if (same === undefined) kept.push(each);
    else if (!same.method.split(", ").includes(each.method))
      kept[at] = { ...same, method: `${same.method}, ${each.method}` };
  }
  return kept;
}

function strikeNoteTable({ strikeNote }: TapMeasurement): Html {
  if (strikeNote === null) return html`<p>No strike note could be told from these partials.</p>\n`;
  const { method, confidence } = strikeNote;
  const candidates = onePitchOnce(strikeNote.candidates);
  return table({
    caption: html`The strike note is the pitch that a listener names, not a partial. Chosen by: ${foreign(method)}, confidence ${Math.round(100 * confidence)}\u00a0%. Other listeners may report another candidate.`,
    name: "Strike note",
    columns: [
      { head: "found by", kind: "text" },
      { head: "frequency, Hz", kind: "number" },
      { head: "note", kind: "text" },
      { head: "cents", kind: "number" },
      { head: "weight", kind: "number" },
    ],
    rows: plainRows(
      candidates.map((c) => [
        foreign(c.method),
        estimateText(c.frequencyHz, "frequency"),
        foreign(c.note),
        signedEstimateText(c.cents, "cents"),
        plainNumber(c.weight, 2),
      ]),
    ),
  });
}

function wholeSoundTable({ sustain, brightness }: TapMeasurement): Html {
  const seconds = (e: Estimate | null) => estimateText(e, "time", "s");
  const rows: HtmlValue[][] = [
    [html`T<sub>60</sub>`, seconds(sustain.t60S), "fall by 60 dB, from the longest range the record allows"],
    ["EDT", seconds(sustain.edtS), "first 10 dB, scaled to 60"],
    [html`T<sub>20</sub>`, seconds(sustain.t20S), "\u22125 to \u221225 dB, scaled to 60"],
    [html`T<sub>30</sub>`, seconds(sustain.t30S), "\u22125 to \u221235 dB, scaled to 60"],
    ["audible", seconds(sustain.audibleS), "from the strike until the sound meets the noise"],
    [
      "brightness",
      estimateText(brightness?.centroidHz ?? null, "frequency", "Hz"),
      "A-weighted centroid of the partials' power at the strike",
    ],
    ...(brightness === null
      ? []
      : [
          [
            "brightness, relative",
            estimateText(brightness.centroidRatio, "times"),
            html`the same over the ${foreign(brightness.ratioTo)}`,
          ],
        ]),
  ];
  return table({
    caption: "The sound as a whole.",
    name: "The sound as a whole",
    columns: [
      { head: "quantity", kind: "text" },
      { head: "value", kind: "number" },
      { head: "what it is", kind: "text" },
    ],
    rows: plainRows(rows),
  });
}

function rimLaw(m: TapMeasurement): Html | null {
  if (m.rimLaw === null) return null;
  const { c, b, p, rmsCents, partials } = m.rimLaw;
  const names = foreign(listOf(partials.map((i) => partialLabel(m, i))));
  const b3 = `${b < 0 ? "\u2212" : "+"} ${Math.abs(b).toPrecision(3)}`;
  return html`<p>The rim partials (${names}) follow f = C(m + b)<sup>p</sup>, here ${c.toPrecision(3)}\u00a0Hz\u00a0\u00d7\u00a0(m\u00a0${b3})<sup>${p.toPrecision(3)}</sup>, within ${plainNumber(rmsCents, 1)}\u00a0cents (root mean square). The law helps to name partials; it is no target.</p>
`;
}

const STEPS = html`<ol>
<li><strong>Strike.</strong> Each strike is found with every contact of the rod, its ring-down up to the next strike, a damping hand or the noise, and a quiet stretch that gives the noise spectrum.</li>
<li><strong>Fit.</strong> The ring-down is a sum of exponentially damped sinusoids, A\u00a0e<sup>\u2212\u03b1t</sup>\u00a0cos(2\u03c0ft\u00a0+\u00a0\u03c6). Neighbouring ones are fitted together, by non-linear least squares on the bins of the discrete Fourier transform, weighted by the noise. T<sub>60</sub> = ln\u00a01000/\u03b1, Q = \u03c0f/\u03b1, loss factor = 1/Q.</li>
<li><strong>Which lines count.</strong> A line is added when the likelihood demands it, and it is a partial only when data that do not overlap show it again: a later stretch of the ring-down, another channel, another strike. Steady tones do not decay and are no partials; a line at twice a strong partial, or at a sum or difference of two, is a combination.</li>
<li><strong>Doublets.</strong> Every mode of a bell is a pair. Where its members can be told apart the pair is one partial with a split; the beat is as fast as the split is wide.</li>
<li><strong>Intervals.</strong> \u00b1 is the half-width of the 95\u00a0% interval. It holds the noise, the misfit of the model near the line, and the spread between starts and strikes; it is rounded to two digits and the value to the same digit.</li>
<li><strong>Whole sound.</strong> EDT, T<sub>20</sub> and T<sub>30</sub> are fits to the backward-integrated energy with the noise taken off.</li>
</ol>
<p>Sources: JCGM 100:2008 (GUM) for intervals; ISO 3382-1 and M.\u00a0R. Schroeder, J. Acoust. Soc. Am. 37 (1965), for decay; IEC 61672-1 for A-weighting; T.\u00a0D. Rossing and R. Perrin, Applied Acoustics 20 (1987), for the partials of bells.</p>
`;

/** How it was measured, for the reader who wants to repeat or doubt it. */
export function method(m: TapMeasurement): Html {
  const note = m.fit.note === null ? null : html`<p class="remark">${foreign(m.fit.note)}</p>\n`;
  return html`${note}${STEPS}
<h3>The fit</h3>
${fitFacts(m)}
<h3>Settings</h3>
${settings(m)}
<h3>Strike note</h3>
${strikeNoteTable(m)}
<h3>Whole sound</h3>
${wholeSoundTable(m)}${rimLaw(m)}`;
}

const WORDS: [string, string][] = [
  [
    "partial",
    "one of the tones that a struck bell is made of. The trade names the low ones hum, prime, tierce, quint, nominal, superquint and octave nominal.",
  ],
  ["strike note", "the pitch that one would sing after the bell; often no partial lies there."],
  ["cents", "hundredths of an equal-tempered semitone; 1200 to the octave."],
  ["ratio", "frequency over that of the reference partial, the prime of a tuned bell."],
  ["ideal", "the ratio that the chosen profile asks for."],
  ["T60", "the time in which a sound falls by 60 dB, to a thousandth of its amplitude."],
  [
    "Q, loss factor",
    "how well the metal and the shape keep a tone: a high Q, the inverse of the loss factor, rings long for its pitch.",
  ],
  ["split, doublet, warble", "two tones so close that they are heard as one that swells and fades."],
];

/** Words that a founder may meet here for the first time. */
export function glossary(): Html {
  return html`<dl class="words">${WORDS.map(([word, meaning]) => html`<dt>${word}</dt><dd>${meaning}</dd>`)}</dl>\n`;
}
