import type { RingDownCurve, TapMeasurement } from "../../../measurement/index.ts";
import { extent, levelAxis } from "../../axes.ts";
import type { ChartSpec, LineSpec } from "../../chart-spec.ts";
import { shorten, shortLevel } from "../../numbers.ts";

/** Lines are cut this far below the noise: what lies deeper says nothing. */
const BELOW_NOISE_DB = 10;

function linesOf(curve: RingDownCurve, onlyChosen: boolean, floor: number): LineSpec[] {
  const x = curve.timeS.map((t) => shorten(t, 4));
  const { partial: mark } = curve;
  const cut = (values: number[]) => values.map((y) => (y >= floor ? shortLevel(y) : null));
  return [
    { look: "measured", x, y: cut(curve.levelDb), mark, onlyChosen },
    { look: "model", x, y: cut(curve.modelDb), mark, onlyChosen },
  ];
}

function noiseLine(curve: RingDownCurve, endS: number): LineSpec {
  const y = shortLevel(curve.noiseDb);
  return { look: "noise", x: [0, endS], y: [y, y], mark: null, onlyChosen: false };
}

/** Seconds a ring-down is drawn for: until its model has sunk below the noise for good, or to its end. */
function shownS({ timeS, modelDb, noiseDb }: RingDownCurve): number {
  const last = modelDb.findLastIndex((level) => level >= noiseDb - BELOW_NOISE_DB);
  return timeS[Math.min(last + 1, timeS.length - 1)] ?? 0;
}

function axes(endS: number, floor: number, topDb: number): Pick<ChartSpec, "x" | "y"> {
  return {
    x: { title: "time from the strike, s", scale: "linear", min: 0, max: endS, ticks: null },
    y: levelAxis("level, dB", floor, topDb),
  };
}

const topOf = (curve: RingDownCurve) => extent([...curve.levelDb, ...curve.modelDb])?.[1] ?? 0;
const floorOf = (curve: RingDownCurve) => curve.noiseDb - BELOW_NOISE_DB;

/** The whole sound falling into the noise; each partial's own fit lies over it while it is chosen. Null without a curve. */
export function wholeRingDownChart(m: TapMeasurement): ChartSpec | null {
  const whole = m.curves.ringDowns.find((curve) => curve.partial === null);
  if (whole === undefined || whole.timeS.length === 0) return null;
  const floor = floorOf(whole);
  const endS = shownS(whole);
  const alone = m.curves.ringDowns.filter((curve) => curve.partial !== null);
  return {
    id: "chart-ring-down",
    heightPx: 340,
    ...axes(endS, floor, topOf(whole)),
    lines: [
      ...linesOf(whole, false, floor),
      noiseLine(whole, endS),
      ...alone.flatMap((curve) => linesOf(curve, true, floor).filter((line) => line.look === "model")),
    ],
    points: [],
    labels: "beside",
    ruleX: null,
  };
}

/** One chart for a partial alone: level in its band, the fitted line with its beats, the noise in the band. */
export function partialRingDownChart(curve: RingDownCurve): ChartSpec {
  const floor = floorOf(curve);
  const endS = shownS(curve);
  return {
    id: `chart-ring-down-${curve.partial}`,
    heightPx: 190,
    ...axes(endS, floor, topOf(curve)),
    lines: [...linesOf(curve, false, floor), noiseLine(curve, endS)],
    points: [],
    labels: "beside",
    ruleX: null,
  };
}
