import type { LineLook, PointLook } from "./chart-spec.ts";
import { type Html, type HtmlValue, html } from "./html.ts";

/** One sample of a line or a point, as the legend shows it; a look that both have is shown as a line with its point. */
export interface LegendEntry {
  look: LineLook | PointLook;
  text: string;
}

/** Outlines of the point shapes around (0, 0); the client draws the same shapes. */
const SHAPES: Record<PointLook, string> = {
  partial: "M0-5 5 0 0 5-5 0z",
  combination: "M-4-4 4 4M-4 4 4-4",
  interference: "M-4-4h8v8h-8z",
  first: "M0-5 5 0 0 5-5 0z",
  second: "M-4-4h8v8h-8z",
};

const isPoint = (look: LineLook | PointLook): look is PointLook => look in SHAPES;
const isBoth = (look: LineLook | PointLook): look is LineLook & PointLook =>
  look === "first" || look === "second";

function sample(look: LineLook | PointLook): Html {
  if (isBoth(look)) {
    return html`<svg class="sample" viewBox="-16 -7 32 14" aria-hidden="true"><path class="line-${look}" d="M-15 0h30"/><path class="point-${look}" d="${SHAPES[look]}"/></svg>`;
  }
  return isPoint(look)
    ? html`<svg class="sample" viewBox="-16 -7 32 14" aria-hidden="true"><path class="point-${look}" d="${SHAPES[look]}"/></svg>`
    : html`<svg class="sample" viewBox="-16 -7 32 14" aria-hidden="true"><path class="line-${look}" d="M-15 0h30"/></svg>`;
}

/** What the lines and shapes of one or more charts mean. */
export function legend(entries: LegendEntry[]): Html {
  return html`<ul class="legend">${entries.map(({ look, text }) => html`<li>${sample(look)}${text}</li>`)}</ul>
`;
}

export interface FigureParts {
  /** Id of the canvas, the same as in its chart. */
  id: string;
  caption: HtmlValue;
  /** The chart in one or two sentences, for those who do not see it. */
  description: string;
  /** Several to a row. */
  small: boolean;
  /** What the whole figure stands for, or null. */
  mark: number | null;
}

/** A chart with its caption. Without scripts the canvas is not shown; the caption and the description stay. */
export function figure({ id, caption, description, small, mark }: FigureParts): Html {
  return html`<figure class="${small ? "chart small" : "chart"}"${mark === null ? null : html` data-mark="${mark}"`}>
<figcaption>${caption}</figcaption>
<div class="plot needs-script"><canvas id="${id}" role="img" aria-label="${description}"></canvas></div>
<p class="without-script">${description}</p>
</figure>
`;
}

/** Numbers of a chart that most readers skip. Print shows them. */
export function moreNumbers(summary: string, body: Html): Html {
  return html`<details class="more"><summary>${summary}</summary>
${body}</details>
`;
}

/** One part of the report under its own heading. */
export function section(id: string, heading: string, body: HtmlValue): Html {
  return html`<section id="${id}" aria-labelledby="${id}-heading">
<h2 id="${id}-heading">${heading}</h2>
${body}</section>
`;
}
