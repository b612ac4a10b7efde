import type { Estimate } from "../../measurement/index.ts";
import { roundUp } from "../axes.ts";
import { foreign, type Html, html } from "../html.ts";
import { estimateText, FINEST_CENTS, noFiner, signedEstimateText } from "../numbers.ts";
import { table } from "../table.ts";
import { markOfPair, type TwoView } from "./view.ts";

/** A narrower strip would make a few cents look like a fault. */
const LEAST_CENTS = 10;
const LEAST_FACTOR = 1.5;

/** A strip with the unchanged in its middle. Positions in per cent need no view box, so it grows with the page. */
function strip(value: number, ci95: number, limit: number): Html {
  const at = (x: number) => `${(50 + (46 * Math.max(-limit, Math.min(limit, x))) / limit).toFixed(2)}%`;
  return html`<svg class="strip" aria-hidden="true"><line class="strip-ideal" x1="50%" x2="50%" y1="0" y2="100%"/><line class="strip-from" x1="50%" x2="${at(value)}" y1="50%" y2="50%"/><line class="strip-ci" x1="${at(value - ci95)}" x2="${at(value + ci95)}" y1="50%" y2="50%"/><svg x="${at(value)}" y="50%" overflow="visible"><path class="point-partial" d="M0-6 6 0 0 6-6 0z"/></svg></svg>`;
}

const logOf = ({ value, ci95 }: Estimate): Estimate => ({ value: Math.log(value), ci95: ci95 / value });

/** What changed in one picture that needs no script: pitch and ring time, a row for each pair. */
export function compareGlance(view: TwoView): Html {
  const { pairs } = view.two;
  if (pairs.length === 0)
    return html`<p>There is nothing to picture: no partial of one was found in the other.</p>\n`;
  const limit = roundUp(Math.max(LEAST_CENTS, ...pairs.map(({ cents }) => Math.abs(cents.value))));
  const factor = Math.max(
    Math.log(LEAST_FACTOR),
    ...pairs.map((pair) => Math.abs(Math.log(pair.decayRatio.value))),
  );
  const cell = (picture: Html, words: string) =>
    html`<div class="strip-cell">${picture}<span class="strip-text">${words}</span></div>`;
  return html`<div class="glance">${table({
    caption: html`${view.b.letter} against ${view.a.letter}. The middle of a strip is no change; the pitch strips reach from \u2212${limit} to +${limit}\u00a0cents, the ring strips from ${Math.exp(-factor).toPrecision(2)} to ${Math.exp(factor).toPrecision(2)} times.`,
    name: "What changed at a glance",
    columns: [
      { head: "partial", kind: "text" },
      { head: "lower \u2190 pitch, cents \u2192 higher", kind: "text" },
      { head: "shorter \u2190 ring time, ratio \u2192 longer", kind: "text" },
    ],
    rows: pairs.map((pair, i) => {
      const ring = logOf(pair.decayRatio);
      return {
        cells: [
          foreign(pair.name),
          cell(
            strip(pair.cents.value, pair.cents.ci95, limit),
            signedEstimateText(noFiner(pair.cents, FINEST_CENTS)),
          ),
          cell(strip(ring.value, ring.ci95, factor), `\u00d7\u00a0${estimateText(pair.decayRatio)}`),
        ],
        mark: markOfPair(view, i),
      };
    }),
  })}</div>
`;
}
