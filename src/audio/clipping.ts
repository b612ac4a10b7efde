/** Where a recording was cut off at the top or the bottom of what its converter, or a limiter, could hold. */
export interface Clipping {
  clipped: boolean;
  /** Samples that lie on flat tops, over all channels. */
  clippedSamples: number;
  /** [start, end) in samples, ascending, apart from one another; a stretch may be of any channel. */
  stretches: [startSample: number, endSample: number][];
}

type Stretch = [startSample: number, endSample: number];

/** Fewer samples than this at the top are a peak. */
const MIN_RUN = 3;
/** From this share of full scale on, one flat top of equal samples tells (-0.2 dB). */
const NEAR_FULL_SCALE = 0.98;
/** Below it, or where the top is only nearly flat, it must come back this often: chance does not repeat itself. */
const MIN_REPEATS = 3;
/** How flat a flat top is, as a share of it (-60 dB). */
const FLATNESS = 1e-3;

/**
 * Finds clipping by its shape: a run of at least three samples at the extreme of the channel that lies flat, and on
 * both sides of which the wave falls away faster than any sine that is that flat at its top.
 *
 * That a top is flat is no sign by itself: a low tone, or one of few codes, has flat tops too. But a sine that
 * stays within t of its peak for the run's length falls by at most 2.5 t (h + k)^2 / (h^2 - c^2) within the k samples
 * next to it, where h is half the run's length and c how far its middle can lie from the peak: 1 - cos x grows as
 * x^2, and rounding moves t by at most 1.5 codes. A steeper fall on both sides means that the top is missing. So no
 * pure tone is taken for clipped, whatever its frequency, level and number of bits; nor is silence.
 *
 * @param channels full scale = 1, at their original offset
 */
export function findClipping(channels: Float32Array[]): Clipping {
  const found: Stretch[] = [];
  let clippedSamples = 0;
  for (const channel of channels) {
    const stretches = findInChannel(channel);
    for (const stretch of stretches) {
      clippedSamples += stretch[1] - stretch[0];
      found.push(stretch);
    }
  }
  return { clipped: clippedSamples > 0, clippedSamples, stretches: mergeStretches(found) };
}

function findInChannel(channel: Float32Array): Stretch[] {
  let highest = Number.NEGATIVE_INFINITY;
  let lowest = Number.POSITIVE_INFINITY;
  let step = Number.POSITIVE_INFINITY;
  for (let i = 0; i < channel.length; i++) {
    const value = channel[i];
    if (value > highest) highest = value;
    if (value < lowest) lowest = value;
    const difference = i > 0 ? Math.abs(value - channel[i - 1]) : 0;
    if (difference > 0 && difference < step) step = difference;
  }
  const peak = Math.max(highest, -lowest);
  // An extreme far inside the other one is where the sound is weak, not where it is cut
  const tops = highest >= peak / 2 ? findFlatTops(channel, highest, 1, step) : [];
  const bottoms = lowest <= -peak / 2 ? findFlatTops(channel, -lowest, -1, step) : [];
  const all = [...tops, ...bottoms];
  const tells = all.some((top) => top.isFullScale) || all.length >= MIN_REPEATS;
  return tells ? all.map(({ start, end }): Stretch => [start, end]) : [];
}

interface FlatTop {
  start: number;
  end: number;
  /** At least three equal samples at the very extreme, near full scale. */
  isFullScale: boolean;
}

/**
 * @param extreme the largest value of `sign` times the channel
 * @param step the distance of two codes
 */
function findFlatTops(channel: Float32Array, extreme: number, sign: 1 | -1, step: number): FlatTop[] {
  const tolerance = Math.max(step, FLATNESS * extreme);
  const tops: FlatTop[] = [];
  let equal = 0;
  let longestEqual = 0;
  let start = 0;
  for (let i = 0; i <= channel.length; i++) {
    const value = i < channel.length ? sign * channel[i] : Number.NEGATIVE_INFINITY;
    if (value >= extreme - tolerance) {
      equal = value === extreme ? equal + 1 : 0;
      longestEqual = Math.max(longestEqual, equal);
      continue;
    }
    if (i - start >= MIN_RUN && fallsSteeply(channel, start, i, extreme, sign, tolerance)) {
      tops.push({ start, end: i, isFullScale: extreme >= NEAR_FULL_SCALE && longestEqual >= MIN_RUN });
    }
    start = i + 1;
    equal = 0;
    longestEqual = 0;
  }
  return tops;
}

function fallsSteeply(
  channel: Float32Array,
  start: number,
  end: number,
  extreme: number,
  sign: 1 | -1,
  tolerance: number,
): boolean {
  const span = end - start - 1;
  const half = span / 2;
  const near = Math.max(2, Math.ceil(half));
  // h^2 - c^2: the peak of a rounded sine is in the middle of the run or, in an even run, half a sample off
  const flatness = Math.floor((span * span) / 4);
  const sineFall = (tolerance * 2.5 * (half + near) ** 2) / flatness + tolerance;
  let fallBefore = 0;
  for (let i = Math.max(0, start - near); i < start; i++) {
    fallBefore = Math.max(fallBefore, extreme - sign * channel[i]);
  }
  let fallAfter = 0;
  for (let i = end; i < Math.min(channel.length, end + near); i++) {
    fallAfter = Math.max(fallAfter, extreme - sign * channel[i]);
  }
  return fallBefore > sineFall && fallAfter > sineFall;
}

/** Sorts, and joins what overlaps or touches. */
function mergeStretches(stretches: Stretch[]): Stretch[] {
  const sorted = stretches.sort((a, b) => a[0] - b[0]);
  const merged: Stretch[] = [];
  for (const [start, end] of sorted) {
    const last = merged.at(-1);
    if (last !== undefined && start <= last[1]) last[1] = Math.max(last[1], end);
    else merged.push([start, end]);
  }
  return merged;
}
