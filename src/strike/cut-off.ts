import { type BandLevels, framesIn } from "./band-levels.ts";
import { meanLevels } from "./noise-floor.ts";

/** Levels are means over this, compared over a gap of four times that. */
const MEAN_S = 0.025;
const GAP_BLOCKS = 4;
/** The first moments of a ring fall in every band. */
const SETTLE_S = 0.15;
/**
 * The recording itself is turned down where all but a fifth of the bands, those of the noise too, fall by 8 dB more than they did just before.
 * A hand takes the ring and leaves the noise. Of stationary noise the fifth of the bands that fall least fall by -1.5 dB or so.
 */
const BEND = Math.log(10 ** 0.8);
const QUANTILE = 0.2;
/** Blocks before the fall see all of it too; the last of them is nearest. */
const STILL_SHARP = 0.8;
/** A fade is followed back while a block falls by more than this beyond what the ring does by itself. */
const FADE = Math.log(10 ** 0.05);
const USUAL_BLOCKS = 12;

/**
 * First frame from which the recording is turned down, noise and all, between two frames; null where it is not. A cut that was filled up
 * with silence, an editor's fade, a noise gate that closes.
 */
export function cutOffFrame(levels: BandLevels, fromFrame: number, toFrame: number): number | null {
  const { bands, silence } = levels;
  const block = framesIn(levels, MEAN_S);
  const start = fromFrame + framesIn(levels, SETTLE_S);
  const blocks = Math.floor((toFrame - start) / block);
  if (blocks < 3 * GAP_BLOCKS) return null;
  // Counted back from the end, so that the last block ends with the recording.
  const first = toFrame - blocks * block;
  const logs = new Float64Array(blocks * bands);
  const mean = new Float64Array(bands);
  for (let i = 0; i < blocks; i++) {
    meanLevels(levels, first + i * block, first + (i + 1) * block, mean);
    for (let b = 0; b < bands; b++) logs[i * bands + b] = Math.log(mean[b] + silence);
  }
  // Lowest level up to each block: the ring and its noise, and not a voice or a rattle that came in later and goes.
  const lowest = logs.slice();
  for (let p = bands; p < logs.length; p++) lowest[p] = Math.min(lowest[p], lowest[p - bands]);
  const sorted = new Float64Array(bands);
  let knee = -1;
  let sharpest = 0;
  for (let i = GAP_BLOCKS; i + GAP_BLOCKS < blocks; i++) {
    for (let b = 0; b < bands; b++) {
      const now = lowest[i * bands + b];
      const before = lowest[(i - GAP_BLOCKS) * bands + b] - now;
      sorted[b] = now - logs[(i + GAP_BLOCKS) * bands + b] - Math.max(0, before);
    }
    sorted.sort();
    const bend = sorted[Math.floor(QUANTILE * (bands - 1))];
    if (bend < BEND || bend < STILL_SHARP * sharpest) continue;
    sharpest = Math.max(sharpest, bend);
    knee = i;
  }
  if (knee < 0) return null;
  return first + beginning(logs, bands, knee) * block;
}

/** The block in which the fall begins that is steepest at `knee`. */
function beginning(logs: Float64Array, bands: number, knee: number): number {
  const level = (i: number) => {
    let sum = 0;
    for (let b = 0; b < bands; b++) sum += logs[i * bands + b];
    return sum / bands;
  };
  const early = Math.max(0, knee - 2 * USUAL_BLOCKS);
  const late = Math.max(0, knee - USUAL_BLOCKS);
  const usual = late > early ? Math.max(0, (level(early) - level(late)) / (late - early)) : 0;
  let i = knee;
  while (i > 1 && level(i - 1) - level(i) > usual + FADE) i--;
  return i - 1;
}
