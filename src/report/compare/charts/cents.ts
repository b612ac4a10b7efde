import type { Estimate } from "../../../measurement/index.ts";
import { roundUp } from "../../axes.ts";
import type { ChartSpec, PointLook, PointSpec } from "../../chart-spec.ts";
import { signedEstimateText } from "../../numbers.ts";
import { idOf, markOfPair, type TwoView } from "../view.ts";
import { bothSides, LOOKS } from "./shared.ts";

/** A narrower axis would make what is not heard look like a fault: about what a listener notices. */
const LEAST_CENTS = 5;
/** An interval wider than this does not widen the axis. */
const MOST_REACH_CENTS = 50;
/** The axis begins and ends on a whole part of its half-width. */
const PARTS = 5;

interface CentsRow {
  name: string;
  mark: number;
  values: { look: PointLook; cents: Estimate; tip: string }[];
}

/** A row for each pair, the lowest on top, its values one below the other, on an axis about `ruleX`. */
function centsChart(id: string, title: string, rows: readonly CentsRow[], ruleX: number): ChartSpec | null {
  if (rows.length === 0) return null;
  const all = rows.flatMap(({ values }) => values.map(({ cents }) => cents));
  const reach = all.map(({ value, ci95 }) => Math.abs(value - ruleX) + Math.min(ci95, MOST_REACH_CENTS));
  // Room for the label beside the outermost point.
  const limit = roundUp(1.3 * Math.max(LEAST_CENTS, ...reach));
  const middle = Math.round((ruleX * PARTS) / limit) * (limit / PARTS);
  const room = (value: number) => Math.max(0, limit - Math.abs(value - middle));
  const rowOf = (n: number) => rows.length - 1 - n;
  return {
    id,
    heightPx: 84 + 34 * rows.length,
    x: { title, scale: "linear", min: middle - limit, max: middle + limit, ticks: null },
    y: {
      title: "",
      scale: "linear",
      min: -0.6,
      max: rows.length - 0.4,
      ticks: rows.map(({ name }, n) => ({ at: rowOf(n), text: name })).reverse(),
    },
    lines: [],
    points: rows.flatMap(({ values, mark }, n) =>
      values.map(({ look, cents, tip }, k): PointSpec => {
        return {
          look,
          x: cents.value,
          y: rowOf(n) + (values.length === 1 ? 0 : k === 0 ? 0.2 : -0.2),
          ci95X: Math.min(cents.ci95, room(cents.value)),
          label: signedEstimateText(cents, "cents"),
          tip: [tip],
          mark,
        };
      }),
    ),
    labels: "beside",
    ruleX,
  };
}

/** B over A in cents, with the common shift as a line across: what leaves the line moved by itself. */
export function shiftChart(view: TwoView): ChartSpec | null {
  const { pairs, common } = view.two;
  const rows = pairs.map((pair, i): CentsRow => {
    const tip = `${pair.name}: ${signedEstimateText(pair.cents, "cents", "cents")}`;
    return {
      name: pair.name,
      mark: markOfPair(view, i),
      values: [{ look: "partial", cents: pair.cents, tip }],
    };
  });
  return centsChart(
    idOf(view, "chart-shift"),
    `lower \u2190 ${view.b.letter} over ${view.a.letter}, cents \u2192 higher`,
    rows,
    common?.cents.value ?? 0,
  );
}

/** Each casting's own deviation from the ideal of its profile, side by side; null where neither has any. */
export function deviationsChart(view: TwoView): ChartSpec | null {
  const rows = view.two.pairs.flatMap((pair, i): CentsRow[] => {
    const values = bothSides(pair).flatMap(({ deviationCents: cents }, side) => {
      const tip = `${[view.a, view.b][side].letter}, ${pair.name}: ${signedEstimateText(cents, "cents", "cents")}`;
      return cents === null ? [] : [{ look: LOOKS[side] as PointLook, cents, tip }];
    });
    return values.length === 0 ? [] : [{ name: pair.name, mark: markOfPair(view, i), values }];
  });
  return centsChart(idOf(view, "chart-deviations"), "flat \u2190 cents from ideal \u2192 sharp", rows, 0);
}
