import { canPatternSplit } from "../../bell/index.ts";
import type { Estimate, TapPartial } from "../../measurement/index.ts";
import { median } from "../robust.ts";
import { threshold } from "../thresholds.ts";
import { isPrincipal, scaled, sureMeridians } from "../words.ts";

/** Split over frequency; null for a partial that is one line. */
export function relativeSplit(partial: TapPartial): Estimate | null {
  return partial.doublet === null ? null : scaled(partial.doublet.splitHz, 1 / partial.frequencyHz.value);
}

/** What the pattern's symmetry says about a split. */
export type PatternWord = "it can" | "it cannot" | "meridians unknown" | "ridges not given";

/**
 * A pattern of K equal parts can split only the modes whose 2m is a multiple of K; every other split comes from the
 * casting or the mounting (Perrin & Charnley's selection rule, restated in J. Sound Vib. 95 (1984) 389-395).
 */
export function patternWord(partial: TapPartial, ridges: number | null): PatternWord {
  if (ridges === null) return "ridges not given";
  const can = canPatternSplit(sureMeridians(partial), ridges);
  if (can === null) return "meridians unknown";
  return can ? "it can" : "it cannot";
}

/**
 * Partials, as indices, whose split lies far beyond the rest in relative terms. A partial that is one line counts among
 * the rest with its linewidth over its frequency, which is its loss factor: a split below that may go unseen. A
 * split that the pattern itself can make is no sign of a fault; nor are two lines of a bell that has so many there
 * that two of them lie as near by chance, unless the partial is one of the bell's first.
 */
export function farSplits(partials: readonly TapPartial[], ridges: number | null): number[] {
  const widths = partials.map((p) => relativeSplit(p)?.value ?? p.lossFactor.value);
  return partials.flatMap((partial, i) => {
    const split = relativeSplit(partial);
    const others = widths.filter((_, j) => j !== i);
    const rest = median(others);
    if (split === null || rest === null || others.length < threshold("splitOthers")) return [];
    const least = Math.max(threshold("splitOutlierLeast"), threshold("splitOutlierRatio") * rest);
    const stands = split.value - split.ci95 > least;
    if (!stands || patternWord(partial, ridges) === "it can") return [];
    const isPair = isPrincipal(partial) || pairsByChance(partials, i) < threshold("splitByChance");
    return isPair ? [i] : [];
  });
}

/** How many lines of other partials to expect as near to one as its split is wide, by their number within half an octave. */
function pairsByChance(partials: readonly TapPartial[], at: number): number {
  const partial = partials[at]!;
  const near = partials.filter(
    (p, j) => j !== at && Math.abs(Math.log2(p.frequencyHz.value / partial.frequencyHz.value)) < 0.5,
  );
  const lines = near.reduce((sum, { doublet }) => sum + (doublet?.members.length ?? 1), 0);
  return (2 * relativeSplit(partial)!.value * lines) / Math.LN2;
}
