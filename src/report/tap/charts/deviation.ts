import type { TapMeasurement } from "../../../measurement/index.ts";
import { roundUp } from "../../axes.ts";
import type { ChartSpec } from "../../chart-spec.ts";
import { signedEstimateText } from "../../numbers.ts";
import { partialLabel } from "../words.ts";

/** A narrower axis would make a few cents look like a fault. */
const LEAST_HALF_WIDTH_CENTS = 20;

/** Half-width in cents of an axis that holds every deviation with its interval. */
export function deviationLimit(m: TapMeasurement): number {
  const reach = m.partials.flatMap(({ deviationCents: d }) =>
    d === null ? [] : [Math.abs(d.value) + d.ci95],
  );
  return roundUp(Math.max(LEAST_HALF_WIDTH_CENTS, ...reach));
}

/** A row for each partial that has an ideal, the lowest on top; null where none has. */
export function deviationChart(m: TapMeasurement): ChartSpec | null {
  const rated = m.partials.flatMap((p, i) => (p.deviationCents === null ? [] : [{ i, d: p.deviationCents }]));
  if (rated.length === 0) return null;
  const limit = deviationLimit(m);
  const rowOf = (n: number) => rated.length - 1 - n;
  return {
    id: "chart-deviation",
    heightPx: 84 + 30 * rated.length,
    x: {
      title: "flat \u2190 cents from ideal \u2192 sharp",
      scale: "linear",
      min: -limit,
      max: limit,
      ticks: null,
    },
    y: {
      title: "",
      scale: "linear",
      min: -0.6,
      max: rated.length - 0.4,
      ticks: rated.map(({ i }, n) => ({ at: rowOf(n), text: partialLabel(m, i) })).reverse(),
    },
    lines: [],
    points: rated.map(({ i, d }, n) => ({
      look: "partial" as const,
      x: d.value,
      y: rowOf(n),
      ci95X: d.ci95,
      label: signedEstimateText(d, "cents"),
      tip: [`${partialLabel(m, i)}: ${signedEstimateText(d, "cents", "cents")}`],
      mark: i,
    })),
    labels: "beside",
    ruleX: 0,
  };
}
