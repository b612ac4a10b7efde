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

/** Control characters other than tab and line feed: HTML forbids them, and a carriage return would not survive parsing. */
// biome-ignore lint/suspicious/noControlCharactersInRegex: these are the characters to replace
const CONTROLS = /[\u0000-\u0008\u000b-\u001f\u007f-\u009f]/g;

/** Text for an HTML body or a quoted attribute; control characters become U+FFFD. */
export function escapeHtml(text: string): string {
  return text.replace(CONTROLS, "\ufffd").replace(/[&<>"']/g, (character) => ENTITIES[character]!);
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

/** Text that came from outside: escaped, and kept from turning the writing direction of what stands around it. */
export function foreign(text: string): Html {
  return html`<bdi>${text}</bdi>`;
}

/**
 * JSON for a data block, `<script type="application/json">`: every "<" is escaped, so neither an end tag nor a
 * comment can begin inside it. Line separators are escaped for readers that take JSON for script.
 */
export function jsonForScript(value: unknown): Html {
  const text = JSON.stringify(value)
    .replace(/</g, "\\u003c")
    .replace(/\u2028/g, "\\u2028")
    .replace(/\u2029/g, "\\u2029");
  return new Html(text);
}
