import type { Estimate, Evidence } from "../../measurement/index.ts";
import type { SharedTest } from "../comparison.ts";
import { SD_TO_CI95 } from "../estimate.ts";
import { digits, probabilityWords } from "../words.ts";

/** Smaller ones are two copies of one measurement. */
const LEAST_SHOWN = 0.01;

const isTiny = ({ statistic }: SharedTest): boolean => statistic < LEAST_SHOWN;

/** "X² = 3.92 on 7 degrees of freedom, p = 0.79". */
export function testWords(test: SharedTest): string {
  const { statistic, degreesOfFreedom, pValue } = test;
  return `X² ${isTiny(test) ? `< ${LEAST_SHOWN}` : `= ${digits(statistic)}`} on ${degreesOfFreedom} degrees of freedom, ${probabilityWords(pValue)}`;
}

/** The same as rows, for those who check it. */
export function testTable(label: string, test: SharedTest): Evidence {
  return {
    kind: "table",
    label,
    columns: [
      "X²",
      "degrees of freedom",
      "probability where they do",
      "probability of the mean where nothing changed",
    ],
    rows: [
      [
        isTiny(test) ? `< ${LEAST_SHOWN}` : digits(test.statistic),
        test.degreesOfFreedom,
        probabilityWords(test.pValue),
        probabilityWords(test.pValueOfMean),
      ],
    ],
  };
}

/** A standard deviation from `count` values is itself known to 1 part in sqrt(2 (count - 1)), for normal scatter. */
export function scatterOf(sd: number, count: number): Estimate {
  return { value: sd, ci95: count < 2 ? 0 : (SD_TO_CI95 * sd) / Math.sqrt(2 * (count - 1)) };
}

/** The same as evidence; nothing where no scatter is left beyond the intervals, for then it is not known to be none. */
export function scatterEvidence(sd: number, count: number, unit: string): Evidence[] {
  if (sd === 0) return [];
  return [{ kind: "number", label: "scatter about it", ...scatterOf(sd, count), unit }];
}
