import { withoutSmear } from "./departures.ts";
import { fitNeighbourhood } from "./fit-lines.ts";
import { type Estimated, freeEstimate, PROBE_MISFIT } from "./free-estimate.ts";
import type { Line } from "./line.ts";
import { neighbourhoods } from "./neighbourhood.ts";
import { lateSearches, type RingDown, type SearchOpener } from "./ring-down.ts";
import type { StableLine } from "./stabilise.ts";
import { freeDecayStart } from "./start.ts";
import { KNOWN_DECAY } from "./tracks.ts";

/** The ring from where on all that disturbs it is over: a gain control has let go, the room is silent, the bell hangs still. */
export interface SettledRing {
  delayS: number;
  estimate: Estimated;
}

/** Starts that are tried, s after the earliest usable sample. */
const DELAYS_S = [0.4, 0.8, 1.3, 2, 3];
/** At least so much of the ring must be left, s. */
const SHORTEST_S = 1;
/** A search that wants more than this (FitScratch.work) is not one of free decays: those end at a tenth of it. */
const MOST_WORK = 3e7;
/** Two lines that hold are a ring; one alone may be anything. */
const FEWEST = 2;
/** The lines are fitted again from so much later, s: what the departure still does to them shows there. */
const AGAIN_S = [0.2, 0.6];
const ALIVE_RHO = 12;

/** The earliest late start from which the full search holds, or null. Delays of its lines count from the earliest usable sample. */
export function settledRing(ring: RingDown, open: SearchOpener): SettledRing | null {
  const fs = ring.sampleRateHz;
  const limited: SearchOpener = (startSample, misfit) => {
    const search = open(startSample, misfit);
    if (search) search.workLimit = MOST_WORK;
    return search;
  };
  for (const delayS of DELAYS_S) {
    const start = ring.ringStartSample + Math.round(delayS * fs);
    if (ring.endSample - start < SHORTEST_S * fs) return null;
    const probed = freeDecayStart(() => open(start, PROBE_MISFIT), [delayS]);
    const estimate = probed && freeEstimate(ring, probed, limited, true);
    if (!estimate || estimate.lines.length < FEWEST) continue;
    const lines = withoutSmear(estimate.lines, (l) => l.line)
      .map(withLateScatter(estimate, open))
      .filter((l) => l.sdAlpha < KNOWN_DECAY * l.line.alpha)
      .map((l) => ({
        ...l,
        delayS: l.delayS + delayS,
        early: { line: l.early.line, delayS: l.early.delayS + delayS },
      }));
    return { delayS, estimate: { ...estimate, lines, startSample: ring.ringStartSample } };
  }
  return null;
}

/**
 * What disturbs a ring does not end at once. The lines are fitted again from a little later; two fits of which one has all
 * data of the other differ by the difference of their variances, and what they differ more is added to the errors.
 */
function withLateScatter(estimate: Estimated, open: SearchOpener): (stable: StableLine) => StableLine {
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

function fittedAgain(estimate: Estimated, open: SearchOpener, delayS: number): Line[] {
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
