import type { NoiseSpectrum } from "../spectrum/index.ts";
import { type Estimated, freeEstimate } from "./free-estimate.ts";
import { fromStarts } from "./from-starts.ts";
import { glidingEstimate } from "./gliding-estimate.ts";
import { type OtherSound, otherSound } from "./other-sound.ts";
import { type PassedNoise, passedNoise } from "./passed-noise.ts";
import { passingOpener, whileOpen, withoutOpenings } from "./passing.ts";
import { quietNoise, type RingDown, type SearchOpener, searchOpener, silence } from "./ring-down.ts";
import { spectraAfterBlow } from "./short-spectra.ts";
import { freeDecayStart } from "./start.ts";

export interface LineEstimate extends Estimated {
  noiseFrom: "before the strike" | "after the ring" | "the residual";
  /** The noise that a suppression of noise lets through beside lines, or null. */
  passed: PassedNoise | null;
  /** A sound that sets in while the bell rings, or null. */
  other: OtherSound | null;
}

/**
 * The damped lines of a ring-down that are stable between data that do not overlap.
 * 1. Where the ring is a sum of free decays from its beginning, search there, in full.
 * 2. Put the start where the model, extrapolated backwards, first explains the signal; search on from there.
 * 3. Keep what a later start has again (stabilise).
 * 4. Where it is none from its beginning, or leaves more than the noise of the quiet: see whether the recorder lets only through
 *    what stands out of the noise (passedNoise), and if so, once more, each line for as long as its band is open, in the noise
 *    that comes through.
 * 5. Where it still is none: follow the lines from start to start, each taken from the one that tells it best (fromStarts).
 * 6. Where they move together: take off a glide that all frequencies share (glidingEstimate).
 */
export function estimateLines(ring: RingDown): LineEstimate {
  const { noise, from } = quietNoise(ring);
  const open = searchOpener(ring, noise);
  const free = fromBeginning(ring, open);
  const quiet = from === "the residual" ? silence(ring) : noise;
  const isOdd = quiet !== null && (free === null || leavesMoreThan(quiet, free));
  const spectra = isOdd ? spectraAfterBlow(ring) : [];
  const passed = isOdd ? passedNoise(ring, quiet, spectra) : null;
  const other = isOdd ? otherSound(ring, quiet, spectra) : null;
  const estimate = passed ? passingEstimate(ring, passed) : (free ?? departing(ring, noise, open));
  return { ...estimate, noiseFrom: from, passed, other };
}

/** The full search where the ring is free decays from its beginning, else null. */
function fromBeginning(ring: RingDown, open: SearchOpener): Estimated | null {
  const probed = freeDecayStart(ring.ringStartSample, open);
  return probed && freeEstimate(ring, probed, open);
}

/** Whether the lines leave more than the noise of the quiet: 6 dB more at some frequencies, where 1 dB would be chance (noiseOfResidual). */
function leavesMoreThan(quiet: NoiseSpectrum[], { search }: Estimated): boolean {
  return quiet.some(({ variance }, c) => {
    const left = search?.noise[0][c].variance;
    return left !== undefined && variance.filter((v, i) => left[i] > 4 * v).length >= 3;
  });
}

/** The lines of a ring that is no sum of free decays from its beginning. */
function departing(ring: RingDown, noise: NoiseSpectrum[], open: SearchOpener): Estimated {
  const { movesTogether, ...followed } = fromStarts(ring, open);
  return (movesTogether ? glidingEstimate(ring, noise, open) : null) ?? followed;
}

function passingEstimate(ring: RingDown, passed: PassedNoise): Estimated {
  // Before, the bands still open: as before the last contact, nothing may be used.
  const opened = { ...ring, ringStartSample: passed.opensSample, bounced: true };
  const open = passingOpener(opened, passed);
  const estimate = fromBeginning(opened, open) ?? departing(opened, passed.noise, open);
  const shortestS = (open(opened.ringStartSample, 0)?.ladder.at(-1)?.size ?? 0) / ring.sampleRateHz;
  const lines = whileOpen(estimate.lines, passed, estimate.startSample, ring.sampleRateHz, shortestS);
  return { ...estimate, lines: withoutOpenings(lines) };
}
