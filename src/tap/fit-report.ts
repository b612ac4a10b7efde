import { type Estimate, GLIDE_TAKEN_OFF, showEstimate } from "../measurement/index.ts";
import type { Mode, ModeFit, RingDown } from "../partials/index.ts";

/** Early stretch in which a glide is looked for, s after the earliest usable sample. */
const EARLY_S = [0.02, 0.2];
/** A mode with another one nearer than this part of its frequency beats; its early phase says nothing of a glide. */
const ALONE = 0.04;
const MOST_MODES = 8;
const FEWEST_MODES = 3;
/** Two-sided 95 % points of Student's t for 2 to 7 degrees of freedom (any statistics text); for more the last is wide enough. */
const STUDENT_95 = [4.303, 3.182, 2.776, 2.571, 2.447, 2.365];

/** Of a mean of so many values, three at least, over its standard error. */
const studentOf = (count: number): number => STUDENT_95[Math.min(count - 3, STUDENT_95.length - 1)];

const CAUSES =
  "a room that answers, a bell or microphone that moves, a recorder's gain control or several sounds at once do that";

/** Normal 95 % points. */
const NORMAL_95 = 1.96;

/** What to know where the ring is not a sum of free decays from the strike on, else null. */
export function departureNote(fit: ModeFit): string | null {
  if (!fit.freeDecay) {
    return (
      `The ring is not a sum of free decays: ${CAUSES}. ` +
      "Listed are the strongest lines on which fits from different starts agree; their intervals hold the scatter between the starts."
    );
  }
  if (fit.glide !== null) {
    const { amount, amountSd, timeConstantS, timeConstantSdS } = fit.glide;
    const percent = showEstimate({ value: Math.abs(100 * amount), ci95: 100 * NORMAL_95 * amountSd }, "%");
    const constant = showEstimate({ value: timeConstantS, ci95: NORMAL_95 * timeConstantSdS }, "s");
    return (
      `All frequencies begin ${percent} ${amount > 0 ? "sharp" : "flat"} and settle with a time constant of ${constant}. ` +
      `${GLIDE_TAKEN_OFF}; listed are the frequencies that they settle to, with its error in their intervals.`
    );
  }
  if (!fit.departs) return null;
  return (
    `The early part of the ring departs from free decays: ${CAUSES}. ` +
    "Listed are the partials on which fits from different starts agree; their intervals hold the scatter between the starts."
  );
}

/**
 * Relative change of frequency after the blow, per cent, up to the settled values; negative where the bell begins sharp. From the
 * strike on where a common glide was fitted; else from the mean of the first fifth of a second, over the strongest modes that stand
 * alone; null where that is not significant or fewer than three stand alone.
 */
export function glideOf(ring: RingDown, fit: ModeFit): Estimate | null {
  if (fit.glide !== null) {
    return { value: -100 * fit.glide.amount, ci95: 100 * NORMAL_95 * fit.glide.amountSd };
  }
  const from = ring.ringStartSample + Math.round(EARLY_S[0] * ring.sampleRateHz);
  const to = Math.min(ring.endSample, ring.ringStartSample + Math.round(EARLY_S[1] * ring.sampleRateHz));
  const alone = fit.modes
    .filter((m) => fit.modes.every((o) => o === m || Math.abs(o.frequencyHz / m.frequencyHz - 1) > ALONE))
    .filter((m) => m.decayRatePerS * EARLY_S[1] < 3)
    .sort((a, b) => b.rho - a.rho)
    .slice(0, MOST_MODES);
  if (alone.length < FEWEST_MODES || to - from < 0.1 * ring.sampleRateHz) return null;
  const shifts = alone.map((m) => (-100 * earlyShiftHz(ring, m, from, to)) / m.frequencyHz);
  const n = shifts.length;
  const value = shifts.reduce((a, b) => a + b, 0) / n;
  const sd = Math.sqrt(shifts.reduce((s, v) => s + (v - value) ** 2, 0) / (n - 1));
  const ci95 = (studentOf(n) * sd) / Math.sqrt(n);
  return Math.abs(value) > ci95 ? { value, ci95 } : null;
}

/** How much louder noise is beside partials that sound, with its interval; null where noise is not suppressed by bands. */
export function noisePassedOf({ passedNoise }: ModeFit): Estimate | null {
  if (passedNoise === null) return null;
  const { aboveQuietDb, sdDb, lines } = passedNoise;
  return { value: aboveQuietDb, ci95: studentOf(lines) * sdDb };
}

/** When another sound sets in while the bell rings, s after the first contact; null where none does. */
export function otherSoundOf({ otherSound }: ModeFit): Estimate | null {
  return otherSound && { value: otherSound.atS, ci95: otherSound.withinS };
}

/** Mean frequency in a stretch less the settled one, Hz: the angle of the lag-one product of the signal shifted to zero. */
function earlyShiftHz(ring: RingDown, mode: Mode, from: number, to: number): number {
  const fs = ring.sampleRateHz;
  let c = 0;
  for (let i = 1; i < mode.amplitude.length; i++) if (mode.amplitude[i] > mode.amplitude[c]) c = i;
  const x = ring.channels[c];
  // Blocks of at least 20 ms, whole periods of the mode, so that its image averages out.
  const period = fs / mode.frequencyHz;
  const block = Math.round(Math.ceil((0.02 * fs) / period) * period);
  let lagRe = 0;
  let lagIm = 0;
  let lastRe = 0;
  let lastIm = 0;
  for (let start = from, k = 0; start + block <= to; start += block, k++) {
    let re = 0;
    let im = 0;
    for (let n = 0; n < block; n++) {
      const w = 0.5 - 0.5 * Math.cos((2 * Math.PI * n) / block);
      const p = (2 * Math.PI * mode.frequencyHz * (start + n)) / fs;
      re += w * x[start + n] * Math.cos(p);
      im -= w * x[start + n] * Math.sin(p);
    }
    if (k > 0) {
      lagRe += re * lastRe + im * lastIm;
      lagIm += im * lastRe - re * lastIm;
    }
    lastRe = re;
    lastIm = im;
  }
  return lagRe === 0 && lagIm === 0 ? 0 : (Math.atan2(lagIm, lagRe) * fs) / (2 * Math.PI * block);
}
