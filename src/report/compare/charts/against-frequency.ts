import type { Pair } from "../../../compare/index.ts";
import type { Estimate, Quantity } from "../../../measurement/index.ts";
import { extent, logSteps } from "../../axes.ts";
import type { ChartSpec, LineSpec, PointSpec } from "../../chart-spec.ts";
import { estimateText, shorten } from "../../numbers.ts";
import { idOf, markOfPair, type TwoView } from "../view.ts";
import { bothSides, frequencyAxis, LOOKS } from "./shared.ts";

/** A quantity of both against frequency, both axes logarithmic, with upright intervals. */
function againstFrequency(
  view: TwoView,
  id: string,
  title: string,
  of: (side: Pair["a"]) => Estimate,
  quantity: Quantity,
): ChartSpec | null {
  const { pairs } = view.two;
  if (pairs.length === 0) return null;
  const reach = (side: Pair["a"]): [number, number] => {
    const { value, ci95 } = of(side);
    return [Math.max(value - ci95, value / 10), value + ci95];
  };
  const [low, high] = extent(pairs.flatMap((pair) => bothSides(pair).flatMap(reach)))!;
  const min = low / 1.3;
  const max = high * 1.3;
  const bar = (side: Pair["a"], which: 0 | 1): LineSpec => ({
    look: LOOKS[which],
    x: [side.frequencyHz.value, side.frequencyHz.value],
    y: reach(side).map((value) => shorten(value)),
    mark: null,
    onlyChosen: false,
  });
  return {
    id: idOf(view, id),
    heightPx: 320,
    x: frequencyAxis(view),
    y: {
      title,
      scale: "log",
      min,
      max,
      ticks: logSteps(min, max).map((at) => ({ at, text: `${at}` })),
    },
    lines: pairs.flatMap((pair) => [bar(pair.a, 0), bar(pair.b, 1)]),
    points: pairs.flatMap((pair, i) =>
      bothSides(pair).map((side, which): PointSpec => {
        return {
          look: LOOKS[which],
          x: side.frequencyHz.value,
          y: of(side).value,
          ci95X: null,
          label: which === 0 ? pair.name : "",
          tip: [`${[view.a, view.b][which].letter}, ${pair.name}`, estimateText(of(side), quantity)],
          mark: markOfPair(view, i),
        };
      }),
    ),
    labels: "band",
    ruleX: null,
  };
}

export const decayAgainstFrequency = (view: TwoView): ChartSpec | null =>
  againstFrequency(view, "chart-decay", "60 dB decay time, s", ({ decayTimeS }) => decayTimeS, "time");

export const lossAgainstFrequency = (view: TwoView): ChartSpec | null =>
  againstFrequency(view, "chart-loss", "loss factor", ({ lossFactor }) => lossFactor, "damping");
