import type { Estimate, SpectrumCurve } from "../../../measurement/index.ts";
import { extent, levelAxis } from "../../axes.ts";
import type { ChartSpec, LineLook, LineSpec, PointSpec, TickSpec } from "../../chart-spec.ts";
import { estimateText, shorten, shortLevel } from "../../numbers.ts";
import { idOf, markOfPair, type TwoView } from "../view.ts";
import { bothSides, frequencyAxis, LOOKS } from "./shared.ts";

/** Spectra are drawn this far down; what lies deeper is noise of one recording. */
const DEEPEST_DB = 90;
const TICK_DB = 20;

const floorOf = ({ levelDb, noiseDb }: SpectrumCurve): number => {
  const lowest = extent(noiseDb)?.[0] ?? extent(levelDb)?.[0] ?? -DEEPEST_DB;
  return Math.max(-DEEPEST_DB, lowest - 5);
};

function spectrumLine(
  curve: SpectrumCurve,
  look: LineLook,
  axis: ChartSpec["x"],
  y: (db: number) => number,
): LineSpec {
  const kept = curve.frequencyHz.flatMap((f, i) => (f >= axis.min && f <= axis.max ? [i] : []));
  return {
    look,
    x: kept.map((i) => shorten(curve.frequencyHz[i])),
    y: kept.map((i) => shortLevel(y(curve.levelDb[i]))),
    mark: null,
    onlyChosen: false,
  };
}

/** Pairs with their names, and partials without a counterpart; each at its level at the strike. */
function points(view: TwoView, yOf: (levelDb: Estimate, side: 0 | 1) => number): PointSpec[] {
  const letters = [view.a.letter, view.b.letter];
  const paired = view.two.pairs.flatMap((pair, i) =>
    bothSides(pair).map(({ frequencyHz, levelDb }, which): PointSpec => {
      const side = which === 0 ? 0 : 1;
      return {
        look: LOOKS[side],
        x: frequencyHz.value,
        y: yOf(levelDb, side),
        ci95X: null,
        label: side === 0 ? pair.name : "",
        tip: [
          `${letters[side]}, ${pair.name}: ${estimateText(frequencyHz, "frequency", "Hz")}`,
          estimateText(levelDb, "level", "dB"),
        ],
        mark: markOfPair(view, i),
      };
    }),
  );
  const alone = view.two.unpaired.map(({ casting, name, frequencyHz, levelDb }): PointSpec => {
    const side = casting === "a" ? 0 : 1;
    const what = `${letters[side]} alone, ${name ?? "unnamed"}: ${estimateText(frequencyHz, "frequency", "Hz")}`;
    const tip = [what, estimateText(levelDb, "level", "dB")];
    return {
      look: LOOKS[side],
      x: frequencyHz.value,
      y: yOf(levelDb, side),
      ci95X: null,
      label: "",
      tip,
      mark: null,
    };
  });
  return [...paired, ...alone];
}

/** Highest level to be shown: 0 dB, or what stands over it. */
function topOf({ from, to, two }: TwoView): number {
  const curves = [from, to].flatMap(({ curves: { spectrum } }) => spectrum.levelDb);
  const heard = [...two.pairs.flatMap(bothSides), ...two.unpaired].map(({ levelDb }) => levelDb.value);
  return Math.max(0, extent([...curves, ...heard])?.[1] ?? 0);
}

/** Both spectra in one chart, each relative to its own strongest partial. */
export function overlaidSpectra(view: TwoView): ChartSpec {
  const axis = frequencyAxis(view);
  const spectra = [view.from.curves.spectrum, view.to.curves.spectrum];
  const floor = Math.min(...spectra.map(floorOf));
  return {
    id: idOf(view, "chart-overlaid"),
    heightPx: 360,
    x: axis,
    y: levelAxis("level, dB re its strongest partial", floor, topOf(view)),
    lines: spectra.map((curve, side) => spectrumLine(curve, LOOKS[side], axis, (db) => Math.max(db, floor))),
    points: points(view, ({ value }) => value),
    labels: "band",
    ruleX: null,
  };
}

/** A's spectrum upwards, B's downwards from one line, so that neither hides the other. */
export function mirroredSpectra(view: TwoView): ChartSpec {
  const axis = frequencyAxis(view);
  const spectra = [view.from.curves.spectrum, view.to.curves.spectrum];
  const depth = -Math.floor(Math.min(...spectra.map(floorOf)) / 10) * 10;
  const height = depth + Math.ceil(topOf(view) / 10) * 10;
  const upwards = (db: number) => Math.max(0, db + depth);
  const text = (level: number) => `${level - depth}`.replace("-", "\u2212");
  const ticks: TickSpec[] = [];
  for (let level = depth; level >= 0; level -= TICK_DB) {
    ticks.push({ at: level, text: text(level) });
    if (level > 0) ticks.unshift({ at: -level, text: text(level) });
  }
  ticks.sort((x, y) => x.at - y.at);
  return {
    id: idOf(view, "chart-mirrored"),
    heightPx: 420,
    x: axis,
    y: {
      title: `level, dB: ${view.b.letter} downwards, ${view.a.letter} upwards`,
      scale: "linear",
      min: -height,
      max: height,
      ticks,
    },
    lines: [
      spectrumLine(spectra[0], "first", axis, upwards),
      spectrumLine(spectra[1], "second", axis, (db) => -upwards(db)),
    ],
    points: points(view, ({ value }, side) => (side === 0 ? upwards(value) : -upwards(value))),
    labels: "band",
    ruleX: null,
  };
}
