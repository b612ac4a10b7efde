import type { DesignResult, ForecastDocument } from "../../shape/index.ts";
import { estimateText, listOf, plainNumber, shownNumber } from "../numbers.ts";
import type { PlanSheet } from "../plan/sheet.ts";
import { forecastSheet } from "./forecast-sheet.ts";

const signed = (value: number, decimals: number): string =>
  `${value > 0 ? "+" : ""}${plainNumber(value, decimals)}`;

/** How a profile was changed, then the forecast of the new one. */
export function designSheet(document: ForecastDocument, design: DesignResult): PlanSheet {
  const { partials, reference, notReached, sizeFactor, noteHz } = design;
  const forecast = forecastSheet(document);
  const most = Math.max(...partials.map(({ afterCents }) => Math.abs(afterCents)));
  return {
    ...forecast,
    title: `Design from ${document.profile.file}`,
    lead: [
      notReached.length === 0
        ? `The new profile has the ratios of ${design.ratios} to within ${plainNumber(Math.max(0.1, Math.ceil(10 * most) / 10), 1)} cents as computed; cast, expect the widths below.`
        : `The new profile comes nearest to the ratios of ${design.ratios} within the bounds; the ${listOf(notReached)} cannot be reached.`,
      ...(noteHz === null
        ? []
        : [
            `Every length is ${shownNumber(sizeFactor)} times the old one, so that it sounds ${shownNumber(noteHz)} Hz.`,
          ]),
      `It weighs ${estimateText(document.massKg, "other", "kg")}.`,
    ],
    attention:
      notReached.length === 0
        ? []
        : [`Let the walls change more with --change, or both of them, or begin from another profile.`],
    tables: [
      {
        caption: `Cents off the ratio to the ${reference}.`,
        head: ["partial", "before", "after"],
        rows: partials.map(({ name, beforeCents, afterCents }) =>
          name === reference
            ? [name, "reference", ""]
            : [name, signed(beforeCents, 1), signed(afterCents, 2)],
        ),
      },
      {
        caption: "The wall against the old one, before all is scaled. Heights as in the old profile.",
        head: ["wall", "height, mm", "thicker, mm", "per cent"],
        rows: design.changes.map(({ wall, zMm, thickerMm, ofWall }) => [
          wall,
          plainNumber(zMm, 1),
          signed(thickerMm, 2),
          signed(100 * ofWall, 1),
        ]),
      },
      ...forecast.tables,
    ],
  };
}
