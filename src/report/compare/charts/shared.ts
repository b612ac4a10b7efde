import type { Pair } from "../../../compare/index.ts";
import { extent, frequencyTicks } from "../../axes.ts";
import type { ChartSpec, LineLook, PointLook } from "../../chart-spec.ts";
import type { TwoView } from "../view.ts";

/** Room left at both ends of a frequency axis, as a factor. */
const MARGIN = 1.35;

/** How A and B are drawn, in this order. */
export const LOOKS = ["first", "second"] as const satisfies (LineLook & PointLook)[];

export const bothSides = ({ a, b }: Pair) => [a, b];

/** One axis for all charts of two castings: from their lowest partial to their highest. */
export function frequencyAxis({ from, to }: TwoView): ChartSpec["x"] {
  const heard = [...from.partials, ...to.partials].map(({ frequencyHz }) => frequencyHz.value);
  const [low, high] = extent(heard) ?? extent([...from.curves.spectrum.frequencyHz]) ?? [100, 10_000];
  const min = low / MARGIN;
  const max = high * MARGIN;
  return { title: "frequency, Hz", scale: "log", min, max, ticks: frequencyTicks(min, max) };
}
