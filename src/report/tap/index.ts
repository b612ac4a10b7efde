/** The report of one measurement alone, so that measuring never waits for the code of the other reports. */
export { type HtmlReportParts, htmlReport } from "./html-report.ts";
export { type TerminalLook, terminalSummary } from "./terminal-summary.ts";
