import { type Estimated, freeEstimate, PROBE_MISFIT } from "./free-estimate.ts";
import { glidingEstimate } from "./gliding-estimate.ts";
import { quietNoise, type RingDown, searchOpener } from "./ring-down.ts";
import { freeDecayStart } from "./start.ts";
import { tieredEstimate } from "./tiers.ts";

export interface LineEstimate extends Estimated {
  noiseFrom: "before the strike" | "after the ring" | "the residual";
}

/**
 * The damped lines of a ring-down that are stable between data that do not overlap.
 * 1. Find the earliest start from which the ring is a sum of free decays; search there, in full.
 * 2. Put the start where the model, extrapolated backwards, first explains the signal; search on from there.
 * 3. Keep what a later start has again (stabilise).
 * 4. Where it is none from its beginning: take off a glide that all frequencies share (glidingEstimate).
 * 5. Where there is no such glide, the search from a later start; where there is no such start, or too little settles, what
 *    starts agree upon (tieredEstimate).
 */
export function estimateLines(ring: RingDown): LineEstimate {
  const { noise, from } = quietNoise(ring);
  const fs = ring.sampleRateHz;
  const open = searchOpener(ring, noise);
  const probed = freeDecayStart((d) => open(ring.ringStartSample + Math.round(d * fs), PROBE_MISFIT));
  const fromBeginning = probed?.delayS === 0;
  const estimate =
    (fromBeginning ? freeEstimate(ring, probed, open) : null) ??
    glidingEstimate(ring, noise, open) ??
    (probed && !fromBeginning ? freeEstimate(ring, probed, open) : null) ??
    tieredEstimate(ring, open);
  return { ...estimate, noiseFrom: from };
}
