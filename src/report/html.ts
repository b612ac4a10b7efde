import { keepTogether } from "./numbers.ts";

/** A piece of finished HTML. Only {@link html} and {@link trustedHtml} make one, so that text cannot pass for markup. */
export class Html {
  readonly text: string;
  constructor(text: string) {
    this.text = text;
  }
}

export type HtmlValue = Html | string | number | null | HtmlValue[];

const ENTITIES: Record<string, string> = {
  "&": "&amp;",
  "<": "&lt;",
  ">": "&gt;",
  '"': "&quot;",
  "'": "&#39;",
};

/**
 * Characters that must not act: control characters other than tab and line feed, which HTML forbids (a carriage return
 * would not survive parsing); line and paragraph separators, which end a line of script; overrides, embeddings and isolates
 * of the writing direction, with which a name can be made to read as another; halves of a surrogate pair.
 */
const ACTING =
  // biome-ignore lint/suspicious/noControlCharactersInRegex: these are the characters to replace
  /[\u0000-\u0008\u000b-\u001f\u007f-\u009f\u2028-\u202e\u2066-\u2069]|\p{Surrogate}/gu;

/** The same text with U+FFFD for every character that acts instead of being read. */
export function inert(text: string): string {
  return text.replace(ACTING, "\ufffd");
}

/** Text for an HTML body or a quoted attribute. */
export function escapeHtml(text: string): string {
  return inert(text).replace(/[&<>"']/g, (character) => ENTITIES[character]!);
}

function render(value: HtmlValue): string {
  if (value === null) return "";
  if (value instanceof Html) return value.text;
  if (Array.isArray(value)) return value.map(render).join("");
  return escapeHtml(String(value));
}

/** Template tag: every value is escaped unless it is HTML already; null leaves nothing, arrays are joined. */
export function html(parts: TemplateStringsArray, ...values: HtmlValue[]): Html {
  return new Html(parts.reduce((text, part, i) => text + render(values[i - 1]!) + part));
}

/** Marks text as HTML. For constants of the program only, never for anything a user or a file gave. */
export function trustedHtml(text: string): Html {
  return new Html(text);
}

/** A word longer than this may be broken after as many characters, so that a file's name cannot widen a table without end. */
const LONGEST_WORD = 40;
const LONG_PIECES = new RegExp(`\\S{${LONGEST_WORD}}(?=\\S)`, "gu");

/** Text that came from outside: escaped, and kept from turning the writing direction of what stands around it. */
export function foreign(text: string): Html {
  return html`<bdi>${breakable(text)}</bdi>`;
}

/** The text with places to break its longest words; what is read or copied stays the same. */
function breakable(text: string): HtmlValue {
  const pieces = inert(text).replace(LONG_PIECES, "$&\u0000").split("\u0000");
  return pieces.map((piece, i) => (i === 0 ? piece : html`<wbr>${piece}`));
}

/** A text of sentences: as {@link foreign}, with numbers, their intervals and units, and options kept on one line each. */
export function prose(text: string): Html {
  const pieces = keepTogether(text).split(/(--[a-z][a-z\d-]*(?: [a-z]+=[A-Z]+)?)/);
  return html`<bdi>${pieces.map((piece, i) => (i % 2 === 1 ? html`<span class="option">${piece}</span>` : breakable(piece)))}</bdi>`;
}

/**
 * JSON for a data block, `<script type="application/json">`: every "<" is escaped, so neither an end tag nor a
 * comment can begin inside it. Its texts are drawn and spoken, so they are made inert as those of the page are.
 */
export function jsonForScript(value: unknown): Html {
  const text = JSON.stringify(value, (_, each: unknown) => (typeof each === "string" ? inert(each) : each));
  return new Html(text.replace(/</g, "\\u003c"));
}
