import type { ChartSpec } from "../chart-spec.ts";
import { figure, legend, section } from "../figure.ts";
import { foreign, type Html, html } from "../html.ts";
import { estimateText, listOf, plainNumber, signedEstimateText } from "../numbers.ts";
import { decayAgainstFrequency, lossAgainstFrequency } from "./charts/against-frequency.ts";
import { deviationsChart, shiftChart } from "./charts/cents.ts";
import { pairRingDowns, wholeRingDowns } from "./charts/ring-downs.ts";
import { mirroredSpectra, overlaidSpectra } from "./charts/spectra.ts";
import { castingName, idOf, markOfPair, type TwoView } from "./view.ts";

export interface ChartSection {
  body: Html;
  charts: ChartSpec[];
}

const bothLegend = ({ a, b }: TwoView): Html =>
  legend([
    { look: "first", text: castingName(a) },
    { look: "second", text: castingName(b) },
  ]);

function titled(view: TwoView, word: string, heading: string, body: Html, charts: ChartSpec[]): ChartSection {
  const more = view.at === 0 ? heading : `${heading}: ${view.b.letter} and ${view.a.letter}`;
  return { body: section(idOf(view, word), more, body), charts };
}

const wide = (chart: ChartSpec, caption: Html | string, description: string): Html =>
  figure({ id: chart.id, caption, description, small: false, mark: null });

export function spectrumSection(view: TwoView): ChartSection {
  const { two, a, b } = view;
  const overlaid = overlaidSpectra(view);
  const mirrored = mirroredSpectra(view);
  const levels = listOf(
    two.pairs.map(
      (pair) =>
        `${pair.name} ${plainNumber(pair.a.levelDb.value, 0)} and ${plainNumber(pair.b.levelDb.value, 0)} dB`,
    ),
  );
  const words = `Paired partials, level of ${a.letter} and of ${b.letter}: ${levels === "" ? "none" : levels}.`;
  const body = html`${bothLegend(view)}${wide(
    overlaid,
    "Both spectra, each relative to its own strongest partial, so that neither gain nor blow is seen. Marks are levels at the strike; lines are the spectrum of the whole ring, in which what decays soon stands lower.",
    `Spectra of ${a.letter} and ${b.letter} over each other. ${words}`,
  )}${wide(
    mirrored,
    `The same, ${a.letter} upwards and ${b.letter} downwards: a partial and its counterpart stand on one line where the pitch is the same.`,
    `Spectra of ${a.letter} upwards and ${b.letter} downwards. ${words}`,
  )}`;
  return titled(view, "spectrum", "Spectra", body, [overlaid, mirrored]);
}

export function ringDownSection(view: TwoView): ChartSection {
  const { two, a, b } = view;
  const whole = wholeRingDowns(view);
  const alone = two.pairs.flatMap((pair, i) => {
    const chart = pairRingDowns(view, pair, i);
    return chart === null ? [] : [{ chart, pair, i }];
  });
  if (whole === null && alone.length === 0) {
    return titled(view, "ring-down", "Ring-downs", html`<p>There is no ring-down to draw.</p>\n`, []);
  }
  const decays = (pair: (typeof two.pairs)[number]) =>
    `${a.letter} ${estimateText(pair.a.decayTimeS, "time", "s")}, ${b.letter} ${estimateText(pair.b.decayTimeS, "time", "s")}, ratio ${estimateText(pair.decayRatio, "times")}`;
  const small = alone.map(({ chart, pair, i }) =>
    figure({
      id: chart.id,
      caption: html`<strong>${foreign(pair.name)}</strong>: ${decays(pair)}`,
      description: `Ring-downs of the ${pair.name} of both castings. 60 dB decay time: ${decays(pair)}.`,
      small: true,
      mark: markOfPair(view, i),
    }),
  );
  const { t60Ratio } = two.whole;
  const body = html`${bothLegend(view)}${
    whole === null
      ? null
      : wide(
          whole,
          "The whole sounds, each from its own strike and its own level there.",
          `Level of both whole sounds from the strike over ${plainNumber(whole.x.max, 1)} s. T60 of ${b.letter} over that of ${a.letter}: ${estimateText(t60Ratio, "times")}.`,
        )
  }${small.length === 0 ? null : html`<h3>Each pair alone</h3>\n<div class="figures">${small}</div>\n`}`;
  const charts = [...(whole === null ? [] : [whole]), ...alone.map(({ chart }) => chart)];
  return titled(view, "ring-down", "Ring-downs", body, charts);
}

export function decaySection(view: TwoView): ChartSection {
  const { two } = view;
  const decay = decayAgainstFrequency(view);
  const loss = lossAgainstFrequency(view);
  if (decay === null || loss === null) {
    return titled(view, "decay", "Decay against frequency", html`<p>There is no pair to draw.</p>\n`, []);
  }
  const words = (of: (side: (typeof two.pairs)[number]["a"]) => string) =>
    listOf(two.pairs.map((pair) => `${pair.name} ${of(pair.a)} and ${of(pair.b)}`));
  const body = html`${bothLegend(view)}${wide(
    decay,
    "60 dB decay time of every pair against frequency, with 95\u00a0% intervals.",
    `60 dB decay times in seconds: ${words((side) => estimateText(side.decayTimeS, "time"))}.`,
  )}${wide(
    loss,
    "Loss factor (1/Q) against frequency. Friction in the metal adds about the same to every partial; what goes out as sound and into the mounting changes with frequency.",
    `Loss factors: ${words((side) => estimateText(side.lossFactor, "damping"))}.`,
  )}`;
  return titled(view, "decay", "Decay against frequency", body, [decay, loss]);
}

export function shiftSection(view: TwoView): ChartSection {
  const { two, a, b } = view;
  const shift = shiftChart(view);
  const deviations = deviationsChart(view);
  if (shift === null) {
    return titled(view, "deviation", "Shift and deviation", html`<p>There is no pair to draw.</p>\n`, []);
  }
  const shifts = listOf(
    two.pairs.map((pair) => `${pair.name} ${signedEstimateText(pair.cents, "cents", "cents")}`),
  );
  const body = html`${wide(
    shift,
    html`${b.letter} over ${a.letter} in cents. The upright line is the common shift, and the axis lies about it: partials that leave the line moved by themselves.`,
    `Shift of every pair: ${shifts}; common shift ${signedEstimateText(two.common?.cents ?? null, "cents", "cents")}.`,
  )}${
    deviations === null
      ? null
      : html`${bothLegend(view)}${wide(
          deviations,
          "Each casting's deviation from the ideal ratios of its profile, side by side. A common shift does not show here.",
          `Deviation from ideal: ${listOf(
            two.pairs.flatMap((pair) =>
              pair.a.deviationCents === null && pair.b.deviationCents === null
                ? []
                : [
                    `${pair.name} ${signedEstimateText(pair.a.deviationCents, "cents")} and ${signedEstimateText(pair.b.deviationCents, "cents", "cents")}`,
                  ],
            ),
          )}.`,
        )}`
  }`;
  const charts = deviations === null ? [shift] : [shift, deviations];
  return titled(view, "deviation", "Shift and deviation", body, charts);
}
