import type { TapMeasurement, TapPartial } from "../../../measurement/index.ts";
import { levelAxis } from "../../axes.ts";
import type { ChartSpec, LineSpec } from "../../chart-spec.ts";
import { shorten, shortLevel } from "../../numbers.ts";

/** Beats drawn at most, unless the ring is over before. */
const BEATS_SHOWN = 6;
/** Points on the curve: enough for the sharp troughs. */
const POINTS = 24 * BEATS_SHOWN + 1;
/** The level axis reaches this far down from the strongest moment. */
const RANGE_DB = 50;

export interface BeatCurve {
  timeS: number[];
  /** Level of the members together, and of each alone, dB re the strongest partial. */
  togetherDb: number[];
  memberDb: number[][];
}

/**
 * Envelope of the members of a doublet: the modulus of the sum of a_k exp((-alpha_k + 2 pi i f_k) t + i phi_k), with
 * frequencies taken from the lowest member, which leaves the modulus as it is. The level of a partial is that of its amplitude.
 */
export function beatCurve(partial: TapPartial, endS: number, points: number): BeatCurve {
  const members = partial.doublet?.members ?? [];
  const baseHz = members[0]?.frequencyHz.value ?? 0;
  const timeS = Array.from({ length: points }, (_, i) => (endS * i) / (points - 1));
  const memberDb = members.map((m) => timeS.map((t) => m.levelDb.value - (60 * t) / m.decayTimeS.value));
  const togetherDb = timeS.map((t, at) => {
    let re = 0;
    let im = 0;
    members.forEach((m, k) => {
      const amplitude = 10 ** (memberDb[k]![at]! / 20);
      const angle = 2 * Math.PI * (m.frequencyHz.value - baseHz) * t + m.phaseRad.value;
      re += amplitude * Math.cos(angle);
      im += amplitude * Math.sin(angle);
    });
    return 10 * Math.log10(re * re + im * im);
  });
  return { timeS, togetherDb, memberDb };
}

/** Seconds to draw: some beats of the members that lie furthest apart, but no longer than the ring. */
function shownS(partial: TapPartial): number {
  const members = partial.doublet!.members;
  const ringS = (Math.max(...members.map((m) => m.decayTimeS.value)) * RANGE_DB) / 60;
  const splitHz = partial.doublet!.splitHz.value;
  return splitHz > 0 ? Math.min(ringS, BEATS_SHOWN / splitHz) : ringS;
}

/** The beat of one doublet, as its fitted members make it. */
export function beatChart(partial: TapPartial, mark: number): ChartSpec {
  const endS = shownS(partial);
  const { timeS, togetherDb, memberDb } = beatCurve(partial, endS, POINTS);
  const topDb = Math.ceil((Math.max(...togetherDb, ...memberDb.map((each) => each[0]!)) + 1) / 10) * 10;
  const x = timeS.map((t) => shorten(t, 4));
  const line = (look: LineSpec["look"], y: number[]): LineSpec => {
    return {
      look,
      x,
      y: y.map((level) => shortLevel(Math.max(level, topDb - 2 * RANGE_DB))),
      mark,
      onlyChosen: false,
    };
  };
  return {
    id: `chart-beats-${mark}`,
    heightPx: 190,
    x: { title: "time from the strike, s", scale: "linear", min: 0, max: endS, ticks: null },
    y: levelAxis("level, dB", topDb - RANGE_DB, topDb),
    lines: [
      ...memberDb.map((y, k) => line(k % 2 === 0 ? "member" : "other-member", y)),
      line("together", togetherDb),
    ],
    points: [],
    labels: "beside",
    ruleX: null,
  };
}

/** One chart for each partial whose members were resolved. */
export function beatCharts(m: TapMeasurement): ChartSpec[] {
  return m.partials.flatMap((partial, i) => (partial.doublet === null ? [] : [beatChart(partial, i)]));
}
