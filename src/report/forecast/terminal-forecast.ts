import type { ForecastDocument } from "../../shape/index.ts";
import { type PlanLook, terminalSheet } from "../plan/terminal-plan.ts";
import { designSheet } from "./design-sheet.ts";
import { forecastSheet } from "./forecast-sheet.ts";
import { tuneSheet } from "./tune-sheet.ts";

/** A forecast for a terminal. Ends with a line feed. */
export function terminalForecast(document: ForecastDocument, look: Omit<PlanLook, "units">): string {
  const { tune, design } = document;
  if (tune !== undefined) return terminalSheet(tuneSheet(document, tune), look);
  if (design !== undefined) return terminalSheet(designSheet(document, design), look);
  return terminalSheet(forecastSheet(document), look);
}
