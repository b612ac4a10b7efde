import type { Estimate, TapMeasurement } from "../../measurement/index.ts";
import { foreign, type Html, html } from "../html.ts";
import { countOf, estimateText, plainNumber, signedEstimateText } from "../numbers.ts";
import { centredStrip, percent, stripText } from "../strip.ts";
import { table } from "../table.ts";
import { deviationLimit } from "./charts/deviation.ts";
import { partialTitle } from "./words.ts";

/** Without names the strongest of the partials are pictured, this many. */
const MOST_UNNAMED = 8;

function ringStrip(decay: Estimate, longestS: number): Html {
  const at = (seconds: number) => percent((0.96 * Math.max(0, Math.min(longestS, seconds))) / longestS);
  const { value, ci95 } = decay;
  return html`<svg class="strip" aria-hidden="true"><rect class="strip-ring" x="0" y="30%" width="${at(value)}" height="40%"/><line class="strip-ci" x1="${at(value - ci95)}" x2="${at(value + ci95)}" y1="50%" y2="50%"/></svg>`;
}

/** Partials worth a picture: the named ones, or the strongest where none has a name; ascending. */
function pictured(m: TapMeasurement): number[] {
  const all = m.partials.map((_, i) => i);
  const named = all.filter((i) => m.partials[i]!.name !== null);
  if (named.length > 0) return named;
  const level = (i: number) => m.partials[i]!.levelDb.value;
  return all
    .sort((a, b) => level(b) - level(a))
    .slice(0, MOST_UNNAMED)
    .sort((a, b) => a - b);
}

/** The bell in one picture that needs no script: pitch against the ideal and ring time, a row for each partial. */
export function glance(m: TapMeasurement): Html {
  if (m.partials.length === 0) return html`<p>There is nothing to picture: no partial was measured.</p>\n`;
  const shown = pictured(m);
  const rated = shown.some((i) => m.partials[i]!.deviationCents !== null);
  const limit = deviationLimit(m);
  const longestS = Math.max(
    ...shown.map((i) => m.partials[i]!.decayTimeS.value + m.partials[i]!.decayTimeS.ci95),
  );
  const deviationCell = (i: number) => {
    const d = m.partials[i]!.deviationCents;
    return d === null
      ? html`<span class="none">no ideal</span>`
      : html`<div class="strip-cell">${centredStrip(d, limit)}${stripText(signedEstimateText(d, "cents"))}</div>`;
  };
  const ringCell = (i: number) => {
    const decay = m.partials[i]!.decayTimeS;
    return html`<div class="strip-cell">${ringStrip(decay, longestS)}${stripText(estimateText(decay, "time"))}</div>`;
  };
  const more = m.partials.length - shown.length;
  const rest =
    more > 0 ? ` ${countOf(more, "more partial")} ${more === 1 ? "is" : "are"} in the table below.` : "";
  const scale = rated ? ` The left strips reach from ${plainNumber(-limit, 0)} to +${limit} cents.` : "";
  return html`<div class="glance">${table({
    caption: `${rated ? "How far each partial lies from its ideal, and how" : "How"} long ${rated ? "it" : "each partial"} rings until it is 60\u00a0dB down; the thin line is the 95\u00a0% interval.${scale}${rest}`,
    name: "The bell at a glance",
    columns: [
      { head: "partial", kind: "text" },
      ...(rated ? [{ head: "flat \u2190 ideal \u2192 sharp, cents", kind: "text" as const }] : []),
      { head: "rings for, s", kind: "text" },
    ],
    rows: shown.map((i) => ({
      cells: [foreign(partialTitle(m, i)), ...(rated ? [deviationCell(i)] : []), ringCell(i)],
      mark: i,
    })),
  })}</div>
`;
}
