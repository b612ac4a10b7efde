import type { ExpectedPartial, StrikeInfo, TapPartial } from "../../measurement/index.ts";
import { threshold } from "../thresholds.ts";
import { sureName } from "../words.ts";

/**
 * Expected partials that the recording should show and does not. Called missing only when its place is known and looked
 * at: careful recordings mostly show it, partials on both sides are surely named, the place between them is scaled from these two, nothing unnamed or
 * doubtfully named lies near it, and at least one used strike is far over the noise.
 */
export function missingPartials(
  partials: readonly TapPartial[],
  expected: readonly ExpectedPartial[],
  strikes: readonly StrikeInfo[],
): ExpectedPartial[] {
  const quiet = strikes.some((s) => s.leftOut === null && s.snrDb >= threshold("missingSnr"));
  if (!quiet) return [];
  const found = new Map<string, number>();
  for (const partial of partials) {
    const name = sureName(partial);
    if (name !== null) found.set(name, partial.frequencyHz.value);
  }
  const open = partials.filter((p) => sureName(p) === null).map((p) => p.frequencyHz.value);
  return expected.filter((wanted, i) => {
    if (found.has(wanted.name) || wanted.presence < threshold("missingPresence")) return false;
    const below = expected.slice(0, i).findLast((e) => found.has(e.name));
    const above = expected.slice(i + 1).find((e) => found.has(e.name));
    if (below === undefined || above === undefined) return false;
    // Each neighbour gives a place; their geometric mean shares an untuned bell's stretch between them.
    const fromBelow = (found.get(below.name)! * wanted.idealRatio) / below.idealRatio;
    const fromAbove = (found.get(above.name)! * wanted.idealRatio) / above.idealRatio;
    const placeHz = Math.sqrt(fromBelow * fromAbove);
    return !open.some((f) => Math.abs(f / placeHz - 1) <= threshold("missingWithin"));
  });
}
