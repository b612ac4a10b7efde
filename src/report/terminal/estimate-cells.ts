import { type Estimate, formatEstimateParts } from "../../measurement/index.ts";
import { padEnd, padStart } from "./cells.ts";

/** "value ±ci95" of a column, so padded that the values end and the intervals begin at the same cells. */
export function estimateCells(estimates: (Estimate | null)[], signed: boolean): string[] {
  const parts = estimates.map((estimate) => {
    if (estimate === null) return { value: "-", ci95: "" };
    const { value, ci95, powerOfTen } = formatEstimateParts(estimate);
    const plus = signed && estimate.value > 0 ? "+" : "";
    const power = powerOfTen === 0 ? "" : `e${powerOfTen}`;
    return { value: `${plus}${value}${power}`, ci95: ci95 === null ? "" : `\u00b1${ci95}${power}` };
  });
  const valueSize = Math.max(0, ...parts.map((part) => part.value.length));
  const ci95Size = Math.max(0, ...parts.map((part) => part.ci95.length));
  return parts.map(({ value, ci95 }) => `${padStart(value, valueSize)} ${padEnd(ci95, ci95Size)}`);
}
