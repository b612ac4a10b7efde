import { type BandLevels, framesIn } from "./band-levels.ts";
import { cutOffFrame } from "./cut-off.ts";
import { meanLevels } from "./noise-floor.ts";

export interface RingEnd {
  /** One past the last frame of the ring. */
  frame: number;
  endedBy: "limit" | "noise floor" | "hand damping" | "cut off";
}

const BLOCK_S = 0.1;
/** A band rings while it stands 3 dB over the noise; the ring goes on while the logarithms over that add up to the threshold. */
const RINGING = 2;
const RINGING_THRESHOLD = 1;
/** Lines too weak for the short-time spectrum still help a long fit, so the end found is put off by this. */
const PUT_OFF_SHARE = 0.25;
const PUT_OFF_S = 0.2;
/** A hand is seen up to this long before the level has fallen. */
const LATE_S = 0.25;

/** A hand: levels are means over 50 ms, compared 200 ms before and 200 ms after. */
const DAMPED_MEAN_S = 0.05;
const DAMPED_WITHIN_S = 0.2;
/** It takes 10 dB in that time over what the same time took before, and over what it took since the strike on average. */
const DAMPED_BY = 10;
/** It takes that from most of the power and from most of the peaks of the spectrum, two at least, and nothing comes back. */
const DAMPED_POWER = 0.8;
const DAMPED_PEAKS = 0.6;
const FEWEST_PEAKS = 2;
/** Only bands 15 dB over the noise can tell. */
const DAMPED_OVER_NOISE = 30;
/** A beat comes out of its trough again: by 3 dB within a second, and 6 dB over the noise. A slower trough is too wide for a hand. */
const AGAIN_WITHIN_S = 1;
const RISES_BY = 2;
const NOISE_ALONE = 4;
/** Before the hand comes down the bend is sharpest; it is still within a fifth of that in the block where it does. */
const STILL_SHARP = 0.8;

/**
 * End of a ring between two frames: where the recording itself is turned down, where a hand damped the bell, where the last bands meet the
 * noise, or `toFrame`.
 * `noise` is the noise level per band.
 */
export function endOfRing(
  levels: BandLevels,
  noise: Float64Array,
  fromFrame: number,
  toFrame: number,
): RingEnd {
  const damped = dampedFrame(levels, noise, fromFrame, toFrame);
  const ring: RingEnd =
    damped === null
      ? metNoise(levels, noise, fromFrame, toFrame)
      : { frame: damped, endedBy: "hand damping" };
  // What is turned down looks like a hand until its noise is looked at; what was noise alone by then is no loss.
  const latest = damped === null ? ring.frame : Math.min(toFrame, ring.frame + framesIn(levels, LATE_S));
  const seen = Math.min(toFrame, latest + framesIn(levels, 2 * LATE_S));
  const cut = cutOffFrame(levels, fromFrame, seen);
  return cut !== null && cut <= latest ? { frame: cut, endedBy: "cut off" } : ring;
}

/** Whether a band's level comes out of a trough between two places of `level`, which are whole rows of `bands` apart. */
function risesAgain(level: Float64Array, bands: number, from: number, to: number, noise: number): boolean {
  let lowest = level[from];
  for (let p = from + bands; p <= to; p += bands) {
    if (level[p] > RISES_BY * lowest && level[p] > NOISE_ALONE * noise) return true;
    lowest = Math.min(lowest, level[p]);
  }
  return false;
}

function metNoise(levels: BandLevels, noise: Float64Array, fromFrame: number, toFrame: number): RingEnd {
  const block = framesIn(levels, BLOCK_S);
  const mean = new Float64Array(levels.bands);
  let ringing = fromFrame;
  for (let k = fromFrame; k < toFrame; k += block) {
    const end = Math.min(k + block, toFrame);
    meanLevels(levels, k, end, mean);
    let score = 0;
    for (let b = 0; b < levels.bands; b++) {
      if (mean[b] > RINGING * noise[b]) score += Math.log(mean[b] / (RINGING * noise[b]));
    }
    if (score > RINGING_THRESHOLD) ringing = end;
  }
  const frame = Math.min(
    toFrame,
    ringing + Math.round(PUT_OFF_SHARE * (ringing - fromFrame)) + framesIn(levels, PUT_OFF_S),
  );
  return { frame, endedBy: ringing + block < toFrame ? "noise floor" : "limit" };
}

/**
 * Frame at which a hand takes the ring away, or null. Beats are told apart by what comes back after them, and by their being in one
 * band only; quick partials by the drop that the same bands had just before.
 */
function dampedFrame(
  levels: BandLevels,
  noise: Float64Array,
  fromFrame: number,
  toFrame: number,
): number | null {
  const { bands } = levels;
  const half = framesIn(levels, DAMPED_MEAN_S);
  const apart = framesIn(levels, DAMPED_WITHIN_S);
  const blocks = Math.floor((toFrame - fromFrame) / half);
  const gap = Math.max(1, Math.round(apart / half));
  const seen = gap + Math.round(framesIn(levels, AGAIN_WITHIN_S) / half);
  if (blocks < 2 * gap + 2) return null;
  const level = new Float64Array(blocks * bands);
  const mean = new Float64Array(bands);
  for (let i = 0; i < blocks; i++) {
    meanLevels(levels, fromFrame + i * half, fromFrame + (i + 1) * half, mean);
    level.set(mean, i * bands);
  }
  const lowest = level.slice();
  // Lowest level up to each block: what rings, and not a voice or a noise that came in later and goes.
  for (let p = bands; p < level.length; p++) lowest[p] = Math.min(lowest[p], lowest[p - bands]);
  // Highest level from each block to the end: what comes back.
  const comesBack = level.slice();
  for (let i = (blocks - 1) * bands - 1; i >= 0; i--)
    comesBack[i] = Math.max(comesBack[i], comesBack[i + bands]);
  let knee: number | null = null;
  let sharpest = 0;
  for (let i = gap; i + gap < blocks; i++) {
    let told = 0;
    let toldPeaks = 0;
    let dropped = 0;
    let droppedPeaks = 0;
    let bend = 0;
    for (let b = 0; b < bands; b++) {
      const p = i * bands + b;
      const now = lowest[p];
      if (now < DAMPED_OVER_NOISE * noise[b]) continue;
      const peak = (b === 0 || now > lowest[p - 1]) && (b + 1 === bands || now > lowest[p + 1]);
      told += now;
      if (peak) toldPeaks++;
      const before = Math.max(1, lowest[p - gap * bands] / now);
      const usual = Math.max(before, Math.max(1, level[b] / now) ** (gap / i));
      const drop = now / Math.max(noise[b], comesBack[p + gap * bands]);
      if (
        drop < DAMPED_BY * usual ||
        risesAgain(level, bands, p, Math.min(i + seen, blocks - 1) * bands + b, noise[b])
      )
        continue;
      dropped += now;
      if (peak) droppedPeaks++;
      bend += now * Math.log(drop / before);
    }
    const most = dropped > DAMPED_POWER * told && droppedPeaks > DAMPED_PEAKS * toldPeaks;
    if (!most || droppedPeaks < FEWEST_PEAKS || bend / dropped < STILL_SHARP * sharpest) continue;
    sharpest = Math.max(sharpest, bend / dropped);
    knee = i;
  }
  return knee === null ? null : fromFrame + knee * half;
}
