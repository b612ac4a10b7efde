import type { NoiseSpectrum } from "../spectrum/index.ts";
import { commonGlide, departureOf } from "./common-glide.ts";
import type { GlideFit } from "./fit-glide.ts";
import { type Estimated, freeEstimate } from "./free-estimate.ts";
import { glideShift, type MeasuredGlide } from "./glide.ts";
import type { Line } from "./line.ts";
import { quietTones, withoutTones } from "./quiet-tones.ts";
import { type RingDown, type SearchOpener, searchOpener } from "./ring-down.ts";
import type { StableLine } from "./stabilise.ts";
import { freeDecayStart } from "./start.ts";
import { unwarped } from "./unwarp.ts";

/** With the glide off, what is left of the blow may still have to be waited out, s. */
const START_DELAYS_S = [0, 0.05, 0.1, 0.2, 0.4];

/**
 * Where all frequencies glide alike: the glide is estimated from the strongest bands, taken off the time axis, and the full search
 * for free decays made on what is left. Null where there is no common glide or what is left is no sum of free decays.
 */
export function glidingEstimate(
  ring: RingDown,
  noise: NoiseSpectrum[],
  open: SearchOpener,
): Estimated | null {
  const found = commonGlide(ring, noise, open);
  if (found === null) return null;
  const flat = unwarped(ring, found.glide);
  const fs = ring.sampleRateHz;
  const departure = departureOf(found);
  const openAny = searchOpener(flat, noise);
  const openFlat: SearchOpener = (startSample, misfit, endSample) => {
    const search = openAny(startSample, misfit, endSample);
    if (search) search.departure = departure;
    return search;
  };
  const estimate = freeFromDelays(flat, openFlat);
  if (!estimate) return null;
  const startS = (estimate.startSample - ring.onsetSample) / fs;
  const binHz = ring.quiet === null ? 0 : fs / (ring.quiet.endSample - ring.quiet.startSample);
  const bells = withoutTones(estimate.lines, quietTones(ring, noise), found.glide, binHz);
  return {
    ...estimate,
    freeDecay: false,
    glide: measured(found),
    lines: bells.map((l) => withGlideError(l, found, startS + l.delayS)),
  };
}

/** The full search from the first start that is free decays, or null where there is none or too little settles. */
function freeFromDelays(flat: RingDown, open: SearchOpener): Estimated | null {
  for (const delayS of START_DELAYS_S) {
    const probed = freeDecayStart(flat.ringStartSample + Math.round(delayS * flat.sampleRateHz), open);
    if (probed) return freeEstimate(flat, probed, open);
  }
  return null;
}

function measured({ glide, covariance: [aa, , tt] }: GlideFit): MeasuredGlide {
  // The covariance is that of the logarithm of the time constant.
  return { ...glide, amountSd: Math.sqrt(aa), timeConstantSdS: glide.timeConstantS * Math.sqrt(tt) };
}

/**
 * Adds what the error of the glide does to the frequency. Whether a line decays by its own clock (the metal's tension changes) or
 * by the listener's (the bell moves) is not known: the decay rate is the middle of the two, and half their distance, the standard
 * deviation of either, is in its error and in that of the level.
 */
function withGlideError(stable: StableLine, { glide, covariance }: GlideFit, startS: number): StableLine {
  const [byAmount, byConstant] = glideShift(glide, stable.line.alpha, startS);
  const [aa, at, tt] = covariance;
  const variance = byAmount ** 2 * aa + 2 * byAmount * byConstant * at + byConstant ** 2 * tt;
  const slower = glide.amount * byAmount;
  const middle = (line: Line): Line => ({
    ...line,
    alpha: line.alpha * (1 + slower / 2),
    sdLogAmplitude: Math.hypot(line.sdLogAmplitude, slower / 2),
  });
  const line = middle(stable.line);
  const early = stable.early.line === stable.line ? line : middle(stable.early.line);
  return {
    ...stable,
    line,
    early: { ...stable.early, line: early },
    sdOmega: Math.hypot(stable.sdOmega, line.omega * Math.sqrt(Math.max(0, variance))),
    sdAlpha: Math.hypot(stable.sdAlpha, (line.alpha * slower) / 2),
  };
}
