import type { Pair } from "../../../compare/index.ts";
import type { RingDownCurve, TapMeasurement } from "../../../measurement/index.ts";
import { extent, levelAxis } from "../../axes.ts";
import type { ChartSpec, LineSpec } from "../../chart-spec.ts";
import { shorten, shortLevel } from "../../numbers.ts";
import { idOf, markOfPair, type TwoView } from "../view.ts";
import { LOOKS } from "./shared.ts";

/** What lies deeper than this under the start is not drawn. */
const DEEPEST_DB = 80;

/** Seconds until the fitted decay meets the noise for good, or the curve's end. */
function heardS({ timeS, modelDb, noiseDb }: RingDownCurve): number {
  const last = modelDb.findLastIndex((level) => level >= noiseDb);
  return last < 0 ? timeS[timeS.length - 1] : timeS[Math.min(last + 1, timeS.length - 1)];
}

const curveOf = (m: TapMeasurement, partial: number | null): RingDownCurve | undefined =>
  m.curves.ringDowns.find((curve) => curve.partial === partial && curve.timeS.length > 1);

function ringDowns(
  id: string,
  curves: readonly (RingDownCurve | undefined)[],
  heightPx: number,
  mark: number | null,
): ChartSpec | null {
  const known = curves.flatMap((curve) => curve ?? []);
  if (known.length === 0) return null;
  // The strike is at 0 s in both; each begins at 0 dB, so that neither blow nor gain is seen.
  const topOf = ({ levelDb }: RingDownCurve) => extent(levelDb)?.[1] ?? 0;
  const endS = Math.max(...known.map(heardS));
  const floor = Math.max(-DEEPEST_DB, Math.min(...known.map((curve) => curve.noiseDb - topOf(curve))) - 5);
  return {
    id,
    heightPx,
    x: { title: "time from the strike, s", scale: "linear", min: 0, max: endS, ticks: null },
    y: levelAxis("level, dB re its start", floor, 0),
    lines: curves.flatMap((curve, side): LineSpec[] =>
      curve === undefined
        ? []
        : [
            {
              look: LOOKS[side],
              x: curve.timeS.map((t) => shorten(t, 4)),
              y: curve.levelDb.map((level) =>
                level - topOf(curve) >= floor ? shortLevel(level - topOf(curve)) : null,
              ),
              mark,
              onlyChosen: false,
            },
          ],
    ),
    points: [],
    labels: "beside",
    ruleX: null,
  };
}

/** Both whole sounds falling, aligned at the strike. */
export function wholeRingDowns(view: TwoView): ChartSpec | null {
  const curves = [view.from, view.to].map((m) => curveOf(m, null));
  return ringDowns(idOf(view, "chart-ring-downs"), curves, 340, null);
}

/** One pair's partials falling, each from its own start. */
export function pairRingDowns(view: TwoView, pair: Pair, index: number): ChartSpec | null {
  const curves = [curveOf(view.from, pair.a.partial), curveOf(view.to, pair.b.partial)];
  const id = `${idOf(view, "chart-ring-downs")}-${index}`;
  return ringDowns(id, curves, 190, markOfPair(view, index));
}
