import type { TapMeasurement } from "../../../measurement/index.ts";
import { extent, frequencyTicks, levelAxis } from "../../axes.ts";
import type { ChartSpec, PointSpec } from "../../chart-spec.ts";
import { estimateText, shorten, shortLevel } from "../../numbers.ts";
import { partialLabel } from "../words.ts";

/** Room left at both ends of the frequency axis, as a factor. */
const MARGIN = 1.35;
/** The curve may fall this far below the lowest noise or point before it is cut. */
const FLOOR_DB = 10;

/** The noise of the curve at a frequency, dB, on straight lines between its points; null outside of it. */
export function noiseAt(
  { frequencyHz, noiseDb }: TapMeasurement["curves"]["spectrum"],
  atHz: number,
): number | null {
  const after = frequencyHz.findIndex((f) => f >= atHz);
  if (after < 0 || (after === 0 && frequencyHz[0] !== atHz)) return null;
  if (after === 0) return noiseDb[0]!;
  const from = frequencyHz[after - 1]!;
  const part = (atHz - from) / (frequencyHz[after]! - from);
  return noiseDb[after - 1]! + part * (noiseDb[after]! - noiseDb[after - 1]!);
}

function points(m: TapMeasurement): PointSpec[] {
  const bare = { ci95X: null, label: "", mark: null };
  return [
    ...m.interference.map((line): PointSpec => {
      const tip = [line.text, line.kind];
      return { ...bare, look: "interference", x: line.frequencyHz, y: line.levelDb, tip };
    }),
    ...m.combinations.map((line): PointSpec => {
      return { ...bare, look: "combination", x: line.frequencyHz, y: line.levelDb, tip: [line.text] };
    }),
    ...m.partials.map((p, i): PointSpec => {
      const tip = [
        `${partialLabel(m, i)}: ${estimateText(p.frequencyHz, "frequency", "Hz")}`,
        estimateText(p.levelDb, "level", "dB"),
      ];
      return {
        look: "partial",
        x: p.frequencyHz.value,
        y: p.levelDb.value,
        ci95X: null,
        label: p.name ?? `${i + 1}`,
        tip,
        mark: i,
      };
    }),
  ];
}

/** The spectrum over a logarithmic frequency axis, cropped to what is listed; null without a curve. */
export function spectrumChart(m: TapMeasurement): ChartSpec | null {
  const { frequencyHz, levelDb, noiseDb } = m.curves.spectrum;
  const listed = points(m);
  const whole = extent(frequencyHz.filter((f) => f > 0));
  if (whole === null) return null;
  const shown = extent(listed.map((point) => point.x)) ?? whole;
  const min = Math.max(shown[0] / MARGIN, whole[0]);
  const max = Math.max(Math.min(shown[1] * MARGIN, whole[1]), min * 2);
  const inside = frequencyHz.flatMap((f, i) => (f >= min && f <= max ? [i] : []));
  const low = extent([...inside.map((i) => noiseDb[i]!), ...listed.map((point) => point.y)])?.[0] ?? -60;
  const high = extent([...inside.map((i) => levelDb[i]!), ...listed.map((point) => point.y)])?.[1] ?? 0;
  const y = levelAxis("level, dB re strongest partial", low - FLOOR_DB, high);
  const x = inside.map((i) => shorten(frequencyHz[i]!, 7));
  const line = { x, mark: null, onlyChosen: false };
  const cut = (values: number[]) => inside.map((i) => shortLevel(Math.max(values[i]!, y.min)));
  return {
    id: "chart-spectrum",
    heightPx: 420,
    x: { title: "frequency, Hz", scale: "log", min, max, ticks: frequencyTicks(min, max) },
    y,
    lines: [
      { ...line, look: "measured", y: cut(levelDb) },
      { ...line, look: "noise", y: cut(noiseDb) },
    ],
    points: listed,
    labels: "band",
    ruleX: null,
  };
}
