import type { PageData } from "./chart-spec.ts";
import { contentPolicy } from "./csp.ts";
import { type Html, html, jsonForScript, trustedHtml } from "./html.ts";
import { reportStyle } from "./style/index.ts";

export interface PageParts {
  /** Window title, plain text. */
  title: string;
  /** What stands above the main part: the heading and what the reader came for. */
  masthead: Html;
  main: Html;
  foot: Html;
  /** What the client script draws and plays. */
  data: PageData;
  /** Scripts in the order they run: the text of chart.js, then the bundled client. */
  scripts: string[];
}

/** A drawn bell mouth and soundbow, so that browsers ask nobody for an icon. */
const ICON =
  "data:image/svg+xml,%3Csvg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 16 16'%3E%3Cpath fill='%231f6b5c' " +
  "d='M7 1h2v1.2c2.2.5 3 2.3 3.2 4.6.2 2.5.6 3.7 2.3 5.2v1h-13v-1c1.7-1.5 2.1-2.7 2.3-5.2.2-2.3 1-4.1 3.2-4.6z" +
  "M6.5 13.8h3a1.5 1.5 0 0 1-3 0z'/%3E%3C/svg%3E";

/**
 * Script text that is safe between script tags: no end tag, no comment opener, no carriage return (the parser would
 * turn it into a line feed after the hash was taken), no pointer to a source map that would be fetched.
 * The two replacements keep the meaning of string and template literals, where alone such text can stand.
 */
export function inlineScript(source: string): string {
  return source
    .replace(/\r\n?/g, "\n")
    .replace(/^\/\/# sourceMappingURL=.*$/gm, "")
    .replace(/<(?=\/script)/gi, "\\x3c")
    .replace(/<(?=!--)/g, "\\x3c");
}

/** One whole document in one file: everything inlined, its own content security policy, nothing to fetch. */
export async function page(parts: PageParts): Promise<string> {
  const scripts = parts.scripts.map(inlineScript);
  const policy = await contentPolicy(scripts, [reportStyle]);
  const document = html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="referrer" content="no-referrer">
<meta name="color-scheme" content="light dark">
<title>${parts.title}</title>
<link rel="icon" href="${ICON}">
<style>${trustedHtml(reportStyle)}</style>
</head>
<body>
<a class="skip" href="#main">Skip to the measurement</a>
<header class="masthead">${parts.masthead}</header>
<main id="main">
${parts.main}
</main>
<footer class="foot">${parts.foot}</footer>
<div class="player" id="player" role="region" aria-label="Player" hidden>
<p id="player-text"></p>
<button type="button" id="player-stop">Stop</button>
</div>
<p class="only-read" id="announce" role="status"></p>
<script type="application/json" id="report-data">${jsonForScript(parts.data)}</script>
${scripts.map((script) => html`<script>${trustedHtml(script)}</script>\n`)}</body>
</html>
`;
  return document.text;
}
