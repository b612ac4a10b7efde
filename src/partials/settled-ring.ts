import { withoutSmear } from "./departures.ts";
import { type Estimated, freeEstimate, PROBE_MISFIT } from "./free-estimate.ts";
import { withLateScatter } from "./late-scatter.ts";
import type { RingDown, SearchOpener } from "./ring-down.ts";
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
