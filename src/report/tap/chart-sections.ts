import type { RingDownCurve, TapMeasurement } from "../../measurement/index.ts";
import type { ChartSpec } from "../chart-spec.ts";
import { figure, legend, moreNumbers, section } from "../figure.ts";
import { foreign, type Html, html } from "../html.ts";
import { countOf, estimateText, listOf, plainNumber, signedEstimateText } from "../numbers.ts";
import { plainRows, table } from "../table.ts";
import { beatCharts } from "./charts/beats.ts";
import { deviationChart } from "./charts/deviation.ts";
import { partialRingDownChart, wholeRingDownChart } from "./charts/ring-down.ts";
import { noiseAt, spectrumChart } from "./charts/spectrum.ts";
import { beatText, partialLabel, partialTitle } from "./words.ts";

/** A part of the page and the charts that the client draws in it. */
export interface ChartSection {
  body: Html;
  charts: ChartSpec[];
}

/** Rows of the table that stands for the whole ring-down. */
const ROWS_OF_RING_DOWN = 12;

export function spectrumSection(m: TapMeasurement): ChartSection {
  const chart = spectrumChart(m);
  const heading = "Spectrum";
  if (chart === null) {
    return { body: section("spectrum", heading, html`<p>There is no spectrum to draw.</p>\n`), charts: [] };
  }
  const levels = m.partials.map(
    (p, i) =>
      `${partialLabel(m, i)} ${estimateText(p.frequencyHz, "frequency", "Hz")} at ${plainNumber(p.levelDb.value, 0)} dB`,
  );
  const noises = m.partials.flatMap((p) => noiseAt(m.curves.spectrum, p.frequencyHz.value) ?? []);
  const noise =
    noises.length === 0
      ? ""
      : ` The noise under the partials lies between ${plainNumber(Math.min(...noises), 0)} and ${plainNumber(Math.max(...noises), 0)} dB.`;
  const description = `Spectrum from ${Math.round(chart.x.min)} to ${Math.round(chart.x.max)} Hz. ${levels.length === 0 ? "No partial stands in it" : `Partials: ${listOf(levels)}`}.${noise}`;
  const body = html`${legend([
    { look: "measured", text: "recording" },
    { look: "noise", text: "noise floor" },
    { look: "partial", text: "partial, as fitted" },
    ...(m.combinations.length > 0 ? [{ look: "combination" as const, text: "combination" }] : []),
    ...(m.interference.length > 0 ? [{ look: "interference" as const, text: "interference" }] : []),
  ])}${figure({
    id: chart.id,
    caption:
      "The recording's spectrum, its noise floor, and the partials at their fitted levels at the strike.",
    description,
    small: false,
    mark: null,
  })}`;
  return { body: section("spectrum", heading, body), charts: [chart] };
}

function wholeTable({ timeS, levelDb, modelDb }: RingDownCurve): Html {
  const step = Math.max(1, Math.ceil((timeS.length - 1) / (ROWS_OF_RING_DOWN - 1)));
  const rows = timeS.flatMap((t, i) =>
    i % step === 0 ? [[plainNumber(t, 2), plainNumber(levelDb[i]!, 0), plainNumber(modelDb[i]!, 0)]] : [],
  );
  return moreNumbers(
    "The whole ring-down in numbers",
    table({
      caption: "Level of the whole sound, every few points of the curve.",
      name: "The whole ring-down",
      columns: [
        { head: "time, s", kind: "number" },
        { head: "recording, dB", kind: "number" },
        { head: "fit, dB", kind: "number" },
      ],
      rows: plainRows(rows),
    }),
  );
}

export function ringDownSection(m: TapMeasurement): ChartSection {
  const heading = "Ring-down";
  const whole = wholeRingDownChart(m);
  const wholeCurve = m.curves.ringDowns.find((curve) => curve.partial === null);
  const alone = m.curves.ringDowns.filter((curve) => curve.partial !== null && curve.timeS.length > 0);
  if (whole === null && alone.length === 0) {
    return { body: section("ring-down", heading, html`<p>There is no ring-down to draw.</p>\n`), charts: [] };
  }
  const wholeText = `Level of the whole sound over ${plainNumber(whole?.x.max ?? 0, 1)} s. T60 ${estimateText(m.sustain.t60S, "time", "s")}, early decay time ${estimateText(m.sustain.edtS, "time", "s")}; noise at ${plainNumber(wholeCurve?.noiseDb ?? null, 0)} dB.`;
  const charts = alone.map(partialRingDownChart);
  const small = alone.map((curve, n) => {
    const i = curve.partial!;
    const label = partialTitle(m, i);
    const decay = estimateText(m.partials[i]?.decayTimeS ?? null, "time", "s");
    return figure({
      id: charts[n]!.id,
      caption: html`<strong>${foreign(label)}</strong>: T<sub>60</sub> ${decay}`,
      description: `Ring-down of the ${label} alone, with its fitted line: T60 ${decay}, noise in its band at ${plainNumber(curve.noiseDb, 0)} dB.`,
      small: true,
      mark: i,
    });
  });
  const body = html`${legend([
    { look: "measured", text: "recording" },
    { look: "model", text: "fit, beats included" },
    { look: "noise", text: "noise" },
  ])}${
    whole === null
      ? null
      : figure({
          id: whole.id,
          caption: "The whole sound, from the strike. A chosen partial's own fit is laid over it.",
          description: wholeText,
          small: false,
          mark: null,
        })
  }${wholeCurve === undefined || wholeCurve.timeS.length === 0 ? null : wholeTable(wholeCurve)}
${small.length === 0 ? null : html`<h3>Each partial alone</h3>\n<div class="figures">${small}</div>\n`}`;
  return { body: section("ring-down", heading, body), charts: whole === null ? charts : [whole, ...charts] };
}

export function deviationSection(m: TapMeasurement): ChartSection {
  const heading = "Deviation from ideal";
  const chart = deviationChart(m);
  if (chart === null) {
    const none = html`<p>No partial has an ideal to be compared with in the profile ${foreign(m.options.profile)}.</p>\n`;
    return { body: section("deviation", heading, none), charts: [] };
  }
  const values = m.partials.flatMap((p, i) =>
    p.deviationCents === null
      ? []
      : [`${partialLabel(m, i)} ${signedEstimateText(p.deviationCents, "cents", "cents")}`],
  );
  const body = figure({
    id: chart.id,
    caption: html`Each partial's ratio against the ideal of the profile ${foreign(m.options.profile)}, with its 95\u00a0% interval.`,
    description: `Deviation from ideal: ${listOf(values)}.`,
    small: false,
    mark: null,
  });
  return { body: section("deviation", heading, body), charts: [chart] };
}

export function beatsSection(m: TapMeasurement): ChartSection {
  const heading = "Beats";
  const charts = beatCharts(m);
  if (charts.length === 0) {
    const none = html`<p>No partial was seen split: none beats within what this recording can tell.</p>\n`;
    return { body: section("beats", heading, none), charts };
  }
  const split = m.partials.flatMap((p, i) => (p.doublet === null ? [] : [{ i, doublet: p.doublet }]));
  const figures = split.map(({ i, doublet }, n) =>
    figure({
      id: charts[n]!.id,
      caption: html`<strong>${foreign(partialTitle(m, i))}</strong>: ${beatText(doublet)}`,
      description: `Level of the ${partialTitle(m, i)} as its members make it over ${plainNumber(charts[n]!.x.max, 2)} s: ${beatText(doublet)}.`,
      small: true,
      mark: i,
    }),
  );
  const body = html`<p>${countOf(split.length, "partial")} split. The members run in and out of step, and the level swells and fades with them.</p>
${legend([
  { look: "together", text: "members together" },
  { look: "member", text: "a member alone" },
  { look: "other-member", text: "the next member alone" },
])}<div class="figures">${figures}</div>
`;
  return { body: section("beats", heading, body), charts };
}
