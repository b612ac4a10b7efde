/**
 * Reports: they draw what was measured and decide nothing. Pure, and free of files and of a clock, so the caller brings
 * two texts for the HTML report:
 *
 * - `chartJsSource`: the text of `chart.js/dist/chart.umd.js` or `chart.umd.min.js` (defines the global `Chart`; any map comment is taken out here);
 * - `script`: the client, `src/report/client/main.ts`, bundled for a script tag:
 *
 *   ```js
 *   const { outputFiles } = await esbuild.build({
 *     entryPoints: ["src/report/client/main.ts"], bundle: true, format: "iife", minify: true, target: "es2022", write: false,
 *   });
 *   const script = outputFiles[0].text;
 *   ```
 *
 * A build can write both as files that a module loads as text when a report is asked for first:
 *
 * ```ts
 * const { default: chartJsSource } = await import("chart.js/dist/chart.umd.js"); // esbuild loader "text"
 * await htmlReport(measurement, { chartJsSource, script, audio: { recordingWav }, generatedAt: "2026-05-01 12:00" });
 * ```
 *
 * `recordingWav` is a whole WAV file; it grows by a third in the page, so a long recording is best cut or left out
 * (`audio: null`). Without audio a report stays far below 1.5 MB.
 *
 * Other reports are built from the same parts: `page` (shell and content security policy), `html` (escaping),
 * `table`, `figure`, the chart specification, which the client draws whatever the page is about, and `terminal/`.
 */
export { type HtmlCompareParts, htmlCompare } from "./compare/html-compare.ts";
export { type CompareLook, terminalCompare } from "./compare/terminal-compare.ts";
export { terminalForecast } from "./forecast/terminal-forecast.ts";
export { htmlPlan } from "./plan/html-plan.ts";
export { type PlanLook, terminalPlan } from "./plan/terminal-plan.ts";
export type { UnitSystem } from "./plan/units.ts";
export type { TapLink } from "./series/bell-sheet.ts";
export { seriesCsv } from "./series/csv.ts";
export { type HtmlSeriesParts, htmlSeries } from "./series/html-series.ts";
export { type SeriesLook, terminalSeries } from "./series/terminal-series.ts";
export { type HtmlReportParts, htmlReport, type TerminalLook, terminalSummary } from "./tap/index.ts";
