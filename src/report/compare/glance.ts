import type { Estimate } from "../../measurement/index.ts";
import { roundUp } from "../axes.ts";
import { foreign, type Html, html } from "../html.ts";
import { estimateText, signedEstimateText } from "../numbers.ts";
import { centredStrip, stripText } from "../strip.ts";
import { table } from "../table.ts";
import { markOfPair, type TwoView } from "./view.ts";

/** A narrower strip would make a few cents look like a fault. */
const LEAST_CENTS = 10;
const LEAST_FACTOR = 1.5;

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
    html`<div class="strip-cell">${picture}${stripText(words)}</div>`;
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
          cell(centredStrip(pair.cents, limit), signedEstimateText(pair.cents, "cents")),
          cell(centredStrip(ring, factor), `\u00d7\u00a0${estimateText(pair.decayRatio, "times")}`),
        ],
        mark: markOfPair(view, i),
      };
    }),
  })}</div>
`;
}
