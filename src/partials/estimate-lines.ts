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
 * 4. Where there is no such start, or too little settles: what starts agree upon (tieredEstimate).
 */
export function estimateLines(ring: RingDown): LineEstimate {
  const { noise, from } = quietNoise(ring);
  const fs = ring.sampleRateHz;
  const open = searchOpener(ring, noise);
  const probed = freeDecayStart((d) => open(ring.ringStartSample + Math.round(d * fs), PROBE_MISFIT));
  const free = () => probed && freeEstimate(ring, probed, open);
  const atOnce = probed?.delayS === 0 ? free() : null;
  const gliding = atOnce ?? glidingEstimate(ring, noise, open);
  const later = gliding ?? (probed?.delayS === 0 ? null : free());
  return { ...(later ?? tieredEstimate(ring, open)), noiseFrom: from };
}
