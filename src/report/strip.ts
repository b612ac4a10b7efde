import type { Estimate } from "../measurement/index.ts";
import { type Html, html } from "./html.ts";

/** A place along a strip, of its whole width. Per cent need no view box, so strips grow with the page. */
export const percent = (part: number): string => `${(100 * part).toFixed(2)}%`;

/** Part of the strip on either side of the middle that values reach; the rest leaves room for the mark. */
const REACH = 0.45;

/**
 * A value about the middle of a strip with its interval. Place tells the deviation, not colour: left of the line is below,
 * right of it above. The number stands in words beside it, so it is hidden from those who hear the page.
 */
export function centredStrip({ value, ci95 }: Estimate, limit: number): Html {
  const at = (x: number) => percent(0.5 + (REACH * Math.max(-limit, Math.min(limit, x))) / limit);
  return html`<svg class="strip" aria-hidden="true"><line class="strip-ideal" x1="50%" x2="50%" y1="0" y2="100%"/><line class="strip-from" x1="50%" x2="${at(value)}" y1="50%" y2="50%"/><line class="strip-ci" x1="${at(value - ci95)}" x2="${at(value + ci95)}" y1="50%" y2="50%"/><svg x="${at(value)}" y="50%" overflow="visible"><path class="point-partial" d="M0-6 6 0 0 6-6 0z"/></svg></svg>`;
}

/** The number of a strip; on the narrowest pages its interval may go to a line of its own. */
export function stripText(text: string): Html {
  const at = text.indexOf("\u00a0\u00b1");
  const parts = at < 0 ? text : html`<span>${text.slice(0, at)}</span> <span>${text.slice(at + 1)}</span>`;
  return html`<span class="strip-text">${parts}</span>`;
}
