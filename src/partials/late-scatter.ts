import { fitNeighbourhood } from "./fit-lines.ts";
import type { Estimated } from "./free-estimate.ts";
import type { Line } from "./line.ts";
import { neighbourhoods } from "./neighbourhood.ts";
import { lateSearches, type SearchOpener } from "./ring-down.ts";
import type { StableLine } from "./stabilise.ts";

/** The lines are fitted again from so much later, s: what the departure still does to them shows there. */
const AGAIN_S = [0.2, 0.6];
const ALIVE_RHO = 12;

/**
 * What disturbs a ring does not end at once. The lines are fitted again from a little later; two fits of which one has all
 * data of the other differ by the difference of their variances, and what they differ more is added to the errors.
 */
export function withLateScatter(
  estimate: Pick<Estimated, "search" | "startSample">,
  open: SearchOpener,
): (stable: StableLine) => StableLine {
  const again = AGAIN_S.map((delayS) => fittedAgain(estimate, open, delayS));
  return (stable) => {
    const { line } = stable;
    let beyondOmega = 0;
    let beyondAlpha = 0;
    for (const lines of again) {
      const later = nearest(lines, line);
      if (later === null) continue;
      const beyond = (difference: number, sdLater: number, sd: number) =>
        Math.sqrt(Math.max(0, difference ** 2 - Math.max(0, sdLater ** 2 - sd ** 2)));
      beyondOmega = Math.max(beyondOmega, beyond(later.omega - line.omega, later.sdOmega, line.sdOmega));
      beyondAlpha = Math.max(beyondAlpha, beyond(later.alpha - line.alpha, later.sdAlpha, line.sdAlpha));
    }
    return {
      ...stable,
      sdOmega: Math.hypot(stable.sdOmega, beyondOmega),
      sdAlpha: Math.hypot(stable.sdAlpha, beyondAlpha),
    };
  };
}

function fittedAgain(
  estimate: Pick<Estimated, "search" | "startSample">,
  open: SearchOpener,
  delayS: number,
): Line[] {
  const { search, startSample } = estimate;
  const late = search && lateSearches(search, startSample, open)(delayS);
  if (!late) return [];
  late.lines = late.lines.filter((l) => l.rho * Math.exp(-2 * l.alpha * delayS) > ALIVE_RHO);
  for (const group of neighbourhoods(late)) fitNeighbourhood(late, group, false);
  return late.lines;
}

function nearest(lines: Line[], line: Line): Line | null {
  let best: Line | null = null;
  for (const l of lines) {
    const distance = Math.abs(l.omega - line.omega);
    if (distance < (best ? Math.abs(best.omega - line.omega) : line.alpha)) best = l;
  }
  return best;
}
