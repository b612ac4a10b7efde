import type { Estimate } from "../measurement/index.ts";
import { ALLOY_SHEETS, type AlloySheet, alloyFamilyOf, sheetsNear } from "./alloy-sheets.ts";
import { type Composition, compositionDistance, formatComposition, fractionOf } from "./composition.ts";
import { InvalidPlanError } from "./error.ts";
import { exact, studentT95, withRelative } from "./estimate.ts";
import { mixtureDensityKgM3 } from "./mixture.ts";
import { percent } from "./words.ts";

/** What another alloy does to the pitch of one pattern: f ~ sqrt(E / density). */
export interface AlloyShift {
  /** Frequency in the new alloy over frequency in the old one. */
  frequencyRatio: Estimate;
  /** How it was found, one sentence. */
  basis: string;
  /** Ids of the data sheets used. */
  sheets: string[];
}

/** Sheets disagree by up to 13 % in E: no frequency taken from one is trusted closer than this. */
const LEAST_RELATIVE = 0.05;

/** Square root of E over density, m/s; the mixture's density where the sheet lists none. */
export function waveSpeedsMS(sheet: AlloySheet): number[] {
  return sheet.readings.flatMap((reading) => {
    if (reading.youngsModulusGPa === null) return [];
    const densityKgM3 = reading.densityKgM3 ?? mixtureDensityKgM3(sheet.composition);
    return Math.sqrt((reading.youngsModulusGPa * 1e9) / densityKgM3);
  });
}

interface Line {
  atMS(tinFraction: number): number;
  /** 95 % half-width of the slope, m/s per unit of mass fraction. */
  slopeCi95: number;
  leastTin: number;
  mostTin: number;
  sheets: string[];
}

/** Straight line through the tin bronzes' wave speeds against tin, ordinary least squares. */
function tinBronzeLine(): Line {
  const sheets = ALLOY_SHEETS.filter((sheet) => alloyFamilyOf(sheet.composition) === "tin bronze");
  const points = sheets.flatMap((sheet) =>
    waveSpeedsMS(sheet).map((speedMS) => ({ tin: fractionOf(sheet.composition, "Sn"), speedMS })),
  );
  const n = points.length;
  const meanTin = points.reduce((sum, point) => sum + point.tin, 0) / n;
  const meanMS = points.reduce((sum, point) => sum + point.speedMS, 0) / n;
  const spread = points.reduce((sum, point) => sum + (point.tin - meanTin) ** 2, 0);
  const slope = points.reduce((sum, point) => sum + (point.tin - meanTin) * point.speedMS, 0) / spread;
  const atMS = (tin: number): number => meanMS + slope * (tin - meanTin);
  const residual = points.reduce((sum, point) => sum + (point.speedMS - atMS(point.tin)) ** 2, 0);
  const tins = points.map((point) => point.tin);
  return {
    atMS,
    slopeCi95: studentT95(n - 2) * Math.sqrt(residual / (n - 2) / spread),
    leastTin: Math.min(...tins),
    mostTin: Math.max(...tins),
    sheets: sheets.map((sheet) => sheet.id),
  };
}

/**
 * Ratio of sqrt(E / density) between two alloys, from published sheets. Between tin bronzes the trend over all
 * sheets is taken, with the interval of its slope; otherwise the nearest sheet of each alloy. Never closer than
 * 5 %; exactly 1 where the composition stays.
 *
 * @throws InvalidPlanError where no sheet is near one of them.
 */
export function alloyShift(from: Composition, to: Composition): AlloyShift {
  if (compositionDistance(from, to) < 1e-9) {
    return { frequencyRatio: exact(1), basis: "The alloy stays the same.", sheets: [] };
  }
  if (alloyFamilyOf(from) === "tin bronze" && alloyFamilyOf(to) === "tin bronze")
    return betweenBronzes(from, to);
  const a = nearestSheet(from);
  const b = nearestSheet(to);
  return {
    frequencyRatio: withRelative(b.speedMS / a.speedMS, a.relative, b.relative),
    basis: `Square root of E over density of ${b.id} over that of ${a.id}, the nearest data sheets, each ± 5 % or its own spread.`,
    sheets: [a.id, b.id],
  };
}

function betweenBronzes(from: Composition, to: Composition): AlloyShift {
  const line = tinBronzeLine();
  const tinFrom = fractionOf(from, "Sn");
  const tinTo = fractionOf(to, "Sn");
  const relative = (line.slopeCi95 * Math.abs(tinTo - tinFrom)) / line.atMS((tinFrom + tinTo) / 2);
  const beyond = [tinFrom, tinTo].some((tin) => tin < line.leastTin || tin > line.mostTin);
  return {
    frequencyRatio: withRelative(line.atMS(tinTo) / line.atMS(tinFrom), Math.max(relative, LEAST_RELATIVE)),
    basis:
      `Trend of the square root of E over density with tin over ${line.sheets.length} data sheets of tin bronzes` +
      `${beyond ? `, extended beyond their ${percent(line.leastTin, 1)} to ${percent(line.mostTin, 1)} tin` : ""}.`,
    sheets: line.sheets,
  };
}

function nearestSheet(composition: Composition): { id: string; speedMS: number; relative: number } {
  for (const sheet of sheetsNear(composition)) {
    const speeds = waveSpeedsMS(sheet);
    if (speeds.length === 0) continue;
    const low = Math.min(...speeds);
    const high = Math.max(...speeds);
    const speedMS = (low + high) / 2;
    return { id: sheet.id, speedMS, relative: Math.max(LEAST_RELATIVE, (high - low) / 2 / speedMS) };
  }
  throw new InvalidPlanError(
    `no data sheet at hand lists an alloy near ${formatComposition(composition)}; leave the alloys out and the plan holds for one alloy, or cast a trial bell of one pattern in both`,
  );
}
