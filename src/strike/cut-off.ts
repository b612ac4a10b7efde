import { type BandLevels, framesIn } from "./band-levels.ts";
import { meanLevels } from "./noise-floor.ts";

/** Levels are means of logarithms over blocks: so many before a fall, one that is skipped, and so many after it. */
const BLOCK_S = 0.025;
const BEFORE = 4;
const SKIPPED = 1;
const AFTER = 2;
/** What falls in the last blocks of a recording loses nothing: files often end with a short fade. */
const LAST = 6;
/** The first moments of a ring fall in every band. */
const SETTLE_S = 0.15;
/**
 * The recording itself is turned down where all but a fifth of the bands, those of the noise too, fall by 3 dB more than they did just
 * before, and below every block before. A hand takes the ring and leaves the noise; a rattle that ends leaves what was there between its clicks.
 * In 180 invented recordings of fifteen other kinds the fifth of the bands that fall least never fall by more; in twelve with a rattle
 * they do by up to 5.9 dB, but not below every block.
 */
const FALL = Math.log(10 ** 0.3);
const BELOW_ALL = Math.log(10 ** 0.1);
const QUANTILE = 0.2;
/** Bands within 6 dB of digital silence before have nothing to lose; some must be left. */
const OVER_SILENCE = Math.log(4);
const FEWEST_BANDS = 10;
/** A gate may flutter for so long before it shuts for a tenth of a second. */
export const FLUTTER_S = 1;
/** It does where all bands fall on the average by 1.8 dB in one frame, against so many frames before those that share samples with it. */
const FLICKER = Math.log(10 ** 0.18);
const STEADY_FRAMES = 12;
const WINDOW_FRAMES = 3;
/** A fall is followed back while a block falls by more than this beyond what the ring does by itself. */
const FADE = Math.log(10 ** 0.05);
const USUAL_BLOCKS = 12;

/**
 * First frame from which the recording is turned down, noise and all, between two frames; null where it is not. A cut that was filled up
 * with silence, an editor's fade, a noise gate that closes, for good or until the sound opens it again.
 */
export function cutOffFrame(levels: BandLevels, fromFrame: number, toFrame: number): number | null {
  const { bands, silence } = levels;
  const block = framesIn(levels, BLOCK_S);
  const start = fromFrame + framesIn(levels, SETTLE_S);
  const blocks = Math.floor((toFrame - start) / block);
  if (blocks < 2 * BEFORE + LAST) return null;
  // Counted back from the end, so that the last block ends with the recording.
  const first = toFrame - blocks * block;
  const logs = new Float64Array(blocks * bands);
  const mean = new Float64Array(bands);
  for (let i = 0; i < blocks; i++) {
    meanLevels(levels, first + i * block, first + (i + 1) * block, mean);
    for (let b = 0; b < bands; b++) logs[i * bands + b] = Math.log(mean[b] + silence);
  }
  const knee = kneeOf(logs, bands, Math.log(silence) + OVER_SILENCE);
  return knee === null ? null : flutterFrame(levels, start, first + beginning(logs, bands, knee) * block);
}

/** The first block after which the bands fall together. */
function kneeOf(logs: Float64Array, bands: number, least: number): number | null {
  const blocks = logs.length / bands;
  // Lowest level up to each block, of means and of single blocks: the ring and its noise, and not a voice or a rattle that came in later and goes.
  const steady = new Float64Array(blocks * bands).fill(Number.POSITIVE_INFINITY);
  const lowest = logs.slice();
  for (let i = 0; i < blocks; i++) {
    for (let b = 0; b < bands; b++) {
      const p = i * bands + b;
      if (i > 0) lowest[p] = Math.min(lowest[p], lowest[p - bands]);
      if (i >= BEFORE - 1)
        steady[p] = Math.min(steady[p - bands] ?? Infinity, meanOf(logs, bands, p, BEFORE));
    }
  }
  const falls = new Float64Array(bands);
  const below = new Float64Array(bands);
  for (let i = 2 * BEFORE - 1; i + LAST < blocks; i++) {
    let seen = 0;
    for (let b = 0; b < bands; b++) {
      const p = i * bands + b;
      if (steady[p] < least) continue;
      const after = meanOf(logs, bands, p + (SKIPPED + AFTER) * bands, AFTER);
      const usual = Math.max(0, steady[p - BEFORE * bands] - steady[p]);
      falls[seen] = steady[p] - after - usual;
      below[seen] = lowest[p] - after;
      seen++;
    }
    if (seen < FEWEST_BANDS) return null;
    if (quantile(falls, seen) > FALL && quantile(below, seen) > BELOW_ALL) return i;
  }
  return null;
}

/** Mean over the block at `place` and those before it, `count` in all. */
function meanOf(logs: Float64Array, bands: number, place: number, count: number): number {
  let sum = 0;
  for (let j = 0; j < count; j++) sum += logs[place - j * bands];
  return sum / count;
}

/** That of the first `count` values, which are then in order. */
function quantile(values: Float64Array, count: number): number {
  const sorted = values.subarray(0, count).sort();
  return sorted[Math.floor(QUANTILE * (count - 1))];
}

/** The block in which the fall begins that is under way after `knee`. */
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

/** First frame of the second before `frame` in which a gate that then shuts has already flickered; else `frame` itself. */
function flutterFrame(levels: BandLevels, start: number, frame: number): number {
  const { bands, silence } = levels;
  const begin = Math.max(start, frame - framesIn(levels, FLUTTER_S));
  const power = levels.rows(begin, frame);
  // Mean of the logarithms over the bands: noise moves it by a third of a decibel from frame to frame.
  const level = new Float64Array(frame - begin);
  for (let p = 0; p < power.length; p++) level[Math.floor(p / bands)] += Math.log(power[p] + silence) / bands;
  const mean = (from: number) =>
    level.subarray(from, from + STEADY_FRAMES).reduce((a, b) => a + b) / STEADY_FRAMES;
  for (let k = 2 * STEADY_FRAMES + WINDOW_FRAMES; k < level.length; k++) {
    const now = mean(k - STEADY_FRAMES - WINDOW_FRAMES);
    const usual = Math.max(0, mean(k - 2 * STEADY_FRAMES - WINDOW_FRAMES) - now);
    if (now - usual - level[k] > FLICKER) return begin + k - WINDOW_FRAMES;
  }
  return frame;
}
