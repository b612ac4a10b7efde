import type { ForecastDocument } from "../../shape/index.ts";
import { type PlanLook, terminalSheet } from "../plan/terminal-plan.ts";
import { forecastSheet } from "./forecast-sheet.ts";

/** A forecast for a terminal. Ends with a line feed. */
export function terminalForecast(document: ForecastDocument, look: Omit<PlanLook, "units">): string {
  return terminalSheet(forecastSheet(document), look);
}
