import { type BandLevels, framesIn } from "./band-levels.ts";

const BLOCK_S = 0.1;
/** Short recordings have shorter blocks. */
const FEWEST_BLOCKS = 8;
const READ_FRAMES = 256;

/** First frame that holds anything: recordings may begin with digital silence, whose end is no strike. */
export function firstSoundingFrame(levels: BandLevels): number {
  const { bands, frames, silence } = levels;
  for (let k = 0; k < frames; k++) {
    const row = levels.rows(k, k + 1);
    for (let b = 0; b < bands; b++) if (row[b] > silence) return k;
  }
  return frames;
}

/**
 * Per band the quietest tenth of a second from `startFrame` on: at most the noise, and above it only where the ring never ends.
 * Stretches of digital silence (dropouts, padding) do not count.
 */
export function quietestLevels(levels: BandLevels, startFrame: number): Float64Array {
  const { bands, frames, silence } = levels;
  const quietest = new Float64Array(bands).fill(Number.POSITIVE_INFINITY);
  const mean = new Float64Array(bands);
  const block = Math.max(
    1,
    Math.min(framesIn(levels, BLOCK_S), Math.floor((frames - startFrame) / FEWEST_BLOCKS)),
  );
  for (let k = startFrame; k + block <= frames; k += block) {
    meanLevels(levels, k, k + block, mean);
    if (mean.every((level) => level <= silence)) continue;
    for (let b = 0; b < bands; b++) quietest[b] = Math.min(quietest[b], mean[b]);
  }
  return quietest.map((level) => (level === Number.POSITIVE_INFINITY ? silence : Math.max(level, silence)));
}

/** Mean level per band over frames [from, to) into `mean`. */
export function meanLevels(levels: BandLevels, from: number, to: number, mean: Float64Array): void {
  const { bands } = levels;
  mean.fill(0);
  // A stretch may be longer than what is in memory at once.
  for (let k = from; k < to; k += READ_FRAMES) {
    const power = levels.rows(k, Math.min(to, k + READ_FRAMES));
    for (let i = 0; i < power.length; i += bands) {
      for (let b = 0; b < bands; b++) mean[b] += power[i + b];
    }
  }
  for (let b = 0; b < bands; b++) mean[b] /= to - from;
}

const LONG_BLOCK_S = 0.25;
const SHORTEST_PRE_ROLL_S = 0.05;
/** Noise before the strike louder than this over the quietest was handling noise, not background. */
const OVER_QUIETEST = 4;
/** A band has met its noise when a third of the recording lies within 3 dB of its quietest. */
const MET_SHARE = 0.35;
const MET = 2;

/**
 * Noise per band: the mean before the first strike; without a pre-roll, the quiet part of the recording, for the bands that stay there;
 * for the others, which ring to the end, silence.
 */
export function noiseLevels(
  levels: BandLevels,
  quietest: Float64Array,
  firstFrame: number,
  onsetFrame: number,
): Float64Array {
  const { bands, frames, silence } = levels;
  const noise = new Float64Array(bands);
  const preRollEnd = onsetFrame - framesIn(levels, 0.02);
  if (preRollEnd - firstFrame >= framesIn(levels, SHORTEST_PRE_ROLL_S)) {
    meanLevels(levels, firstFrame, preRollEnd, noise);
    return noise.map((level, b) => Math.max(silence, Math.min(level, OVER_QUIETEST * quietest[b])));
  }
  const block = framesIn(levels, LONG_BLOCK_S);
  const blocks = Math.floor((frames - firstFrame) / block);
  if (blocks < 2) return noise.fill(silence);
  const means = Array.from({ length: bands }, () => new Float64Array(blocks));
  for (let i = 0; i < blocks; i++) {
    meanLevels(levels, firstFrame + i * block, firstFrame + (i + 1) * block, noise);
    for (let b = 0; b < bands; b++) means[b][i] = noise[b];
  }
  for (let b = 0; b < bands; b++) {
    const sorted = means[b].sort();
    const third = sorted[Math.floor(MET_SHARE * (blocks - 1))];
    noise[b] = Math.max(silence, third < MET * sorted[0] ? third : silence);
  }
  return noise;
}
