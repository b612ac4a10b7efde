import { type ChannelStatistics, channelStatistics } from "./channel-statistics.ts";
import { BLOCK_SAMPLES, type Samples } from "./samples.ts";

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
/** A bell that clips does so a few thousand times; where it is far more often, near stretches are as good as one. */
const MOST_STRETCHES = 2 ** 16;
/** Read beside each block; the rare run that needs more is read for. */
const BESIDE_SAMPLES = 1024;

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
 * Goes through the samples once; what it keeps is bounded: beyond 65,536 stretches a channel the nearest are joined.
 *
 * @param samples at their original offset
 */
export function findClipping(
  samples: Samples,
  statistics: ChannelStatistics[] = channelStatistics(samples),
): Clipping {
  const found: Stretch[] = [];
  let clippedSamples = 0;
  const searches = statistics.map(searchesOf);
  forEachWideBlock(samples, (channels, first, from, to) => {
    searches.forEach((each, c) => {
      for (const search of each) followTops(search, channels[c], first, from, to, samples, c);
    });
  });
  for (const each of searches) {
    const tops = each.reduce((count, search) => count + search.count, 0);
    if (!each.some((search) => search.isFullScale) && tops < MIN_REPEATS) continue;
    for (const search of each) {
      clippedSamples += search.clippedSamples;
      for (const stretch of search.stretches) found.push(stretch);
    }
  }
  return { clipped: clippedSamples > 0, clippedSamples, stretches: mergeStretches(found) };
}

/** The search for flat tops of one channel on one side, and where it stands. */
interface TopSearch {
  /** 1 for the tops, -1 for the bottoms. */
  sign: 1 | -1;
  /** The largest value of `sign` times the channel. */
  extreme: number;
  tolerance: number;
  /** First sample of the run at the extreme that is open, or the sample where one could begin. */
  start: number;
  equal: number;
  longestEqual: number;
  count: number;
  clippedSamples: number;
  /** A top of at least three equal samples at the very extreme, near full scale, was among them. */
  isFullScale: boolean;
  stretches: Stretch[];
  /** Stretches closer than this many samples are kept as one. */
  joinedWithin: number;
}

/** An extreme far inside the other one is where the sound is weak, not where it is cut. */
function searchesOf({ highest, lowest, step }: ChannelStatistics): TopSearch[] {
  const peak = Math.max(highest, -lowest);
  const searches: TopSearch[] = [];
  if (highest >= peak / 2) searches.push(newSearch(1, highest, step));
  if (lowest <= -peak / 2) searches.push(newSearch(-1, -lowest, step));
  return searches;
}

function newSearch(sign: 1 | -1, extreme: number, step: number): TopSearch {
  const tolerance = Math.max(step, FLATNESS * extreme);
  const counts = { start: 0, equal: 0, longestEqual: 0, count: 0, clippedSamples: 0 };
  return { sign, extreme, tolerance, ...counts, isFullScale: false, stretches: [], joinedWithin: 0 };
}

/** Follows the runs through [from, to); `channel` begins at sample `first` and reaches beyond on both sides. */
function followTops(
  search: TopSearch,
  channel: Float32Array,
  first: number,
  from: number,
  to: number,
  samples: Samples,
  c: number,
): void {
  const { sign, extreme } = search;
  const threshold = extreme - search.tolerance;
  // The run that is still open at the end of the recording ends there.
  const last = to === samples.sampleCount ? to : to - 1;
  for (let i = from; i <= last; i++) {
    const value = i < to ? sign * channel[i - first] : Number.NEGATIVE_INFINITY;
    if (value >= threshold) {
      search.equal = value === extreme ? search.equal + 1 : 0;
      if (search.equal > search.longestEqual) search.longestEqual = search.equal;
      continue;
    }
    if (i - search.start >= MIN_RUN) endRun(search, i, channel, first, samples, c);
    search.start = i + 1;
    search.equal = 0;
    search.longestEqual = 0;
  }
}

function endRun(
  search: TopSearch,
  end: number,
  channel: Float32Array,
  first: number,
  samples: Samples,
  c: number,
): void {
  const { start, extreme } = search;
  const span = end - start - 1;
  const half = span / 2;
  const near = Math.max(2, Math.ceil(half));
  // h^2 - c^2: the peak of a rounded sine is in the middle of the run or, in an even run, half a sample off
  const flatness = Math.floor((span * span) / 4);
  const sineFall = (search.tolerance * 2.5 * (half + near) ** 2) / flatness + search.tolerance;
  const before = Math.max(0, start - near);
  const after = Math.min(samples.sampleCount, end + near);
  const isThere = before >= first && after <= first + channel.length;
  const falls = (from: number, to: number): boolean =>
    isThere
      ? fallsBelow(channel, from - first, to - first, search, sineFall)
      : samples.read(from, to).some((each, k) => k === c && fallsBelow(each, 0, to - from, search, sineFall));
  if (!falls(before, start) || !falls(end, after)) return;
  search.count++;
  search.clippedSamples += end - start;
  if (extreme >= NEAR_FULL_SCALE && search.longestEqual >= MIN_RUN) search.isFullScale = true;
  keep(search, start, end);
}

/** Whether the channel lies further than `fall` under the extreme anywhere in [from, to). */
function fallsBelow(
  channel: Float32Array,
  from: number,
  to: number,
  { sign, extreme }: TopSearch,
  fall: number,
): boolean {
  for (let i = from; i < to; i++) if (extreme - sign * channel[i] > fall) return true;
  return false;
}

function keep(search: TopSearch, start: number, end: number): void {
  const last = search.stretches.at(-1);
  if (last !== undefined && start - last[1] < search.joinedWithin) {
    last[1] = end;
    return;
  }
  search.stretches.push([start, end]);
  while (search.stretches.length > MOST_STRETCHES) {
    search.joinedWithin = Math.max(16, 2 * search.joinedWithin);
    search.stretches = joinNear(search.stretches, search.joinedWithin);
  }
}

function joinNear(stretches: Stretch[], within: number): Stretch[] {
  const joined: Stretch[] = [];
  for (const stretch of stretches) {
    const last = joined.at(-1);
    if (last !== undefined && stretch[0] - last[1] < within) last[1] = stretch[1];
    else joined.push(stretch);
  }
  return joined;
}

/** Goes once through the samples in blocks [from, to), each with what lies beside it, from sample `first` on. */
function forEachWideBlock(
  samples: Samples,
  visit: (channels: Float32Array[], first: number, from: number, to: number) => void,
): void {
  const { sampleCount } = samples;
  for (let from = 0; from < sampleCount; from += BLOCK_SAMPLES) {
    const to = Math.min(sampleCount, from + BLOCK_SAMPLES);
    const first = Math.max(0, from - BESIDE_SAMPLES);
    visit(samples.read(first, Math.min(sampleCount, to + BESIDE_SAMPLES)), first, from, to);
  }
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
