import { type BandLevels, framesIn } from "./band-levels.ts";
import { isSmooth, SMOOTH_SPAN_FRAMES } from "./smooth.ts";

/** A sudden rise over many bands: a contact, or several that lie closer than the short-time window. */
export interface Rise {
  /** First and last frame whose following frames stand over everything before. */
  firstFrame: number;
  lastFrame: number;
  /** Where the power of the bands that rose passes a quarter of what it reaches: the step's middle under the window. */
  sample: number;
  /** Sum over the bands of the natural logarithm of the rise, each band counting at most LARGEST_RISE. */
  score: number;
  /** Power that the rise brought, summed over the bands. */
  power: number;
  /** Some of the rise still rings a tenth of a second later. */
  rings: boolean;
}

/** Frames averaged on either side of the rise, and frames from the one to the other that share no sample. */
const AVERAGED = 4;
const APART = 3;
/** Frames that a rise is compared with: none is seen sooner after the first frame. */
export const FRAMES_BEFORE_RISE = APART + AVERAGED - 1;
/** A band has risen when it stands 3 dB over the held level before. */
const MARGIN = 2;
/** One band alone can never reach the threshold. */
const LARGEST_RISE = 2;
/**
 * Largest scores measured: stationary noise, white to brown, 4.2 in 60 stretches of 5 s; beats of 0.2 to 5 Hz, 40 dB deep, 3.5 in 60
 * bells; clusters of four lines within 50 Hz, 9.2 in 40 bells. Bells as loud as the noise score 16 (median), 6 dB over it 16 at least.
 */
const SCORE_THRESHOLD = 7;
/**
 * The level before is held and let fall at this rate. A beat comes out of its trough as it went in, so a band that beats does not
 * rise over what it held; a band that decays faster than this is not ready for the next strike at once.
 */
const HELD_FALL_DB_PER_S = 60;
/** A rise rings on when, this long after it, bands that rose stand over the held level by this sum of logarithms. */
const RING_FROM_S = 0.06;
const RING_UNTIL_S = 0.14;
const RING_THRESHOLD = 3;
/**
 * A rise 12 dB weaker than another in the time before it may be a burst of a rattle or a noise of the room, which dies away within a tenth
 * of a second, is followed by others, or hisses. So only bands count that lost less than 15 dB, of each the quietest of four parts of the
 * time, and only smooth ones; and a fifth of all must be smooth.
 */
const RECENT_S = 3;
const WEAK_RISE = 1 / 16;
const KEPT_BY_WEAK_RISE = 1 / 32;
const RING_PARTS = 4;
const SMOOTH_SHARE = 0.2;

/** Frames gone through between two looks into the levels. */
const CHUNK_FRAMES = 2048;

/** A stretch of the levels: frames [fromFrame, fromFrame + frames). */
interface Stretch {
  levels: BandLevels;
  power: Float32Array;
  fromFrame: number;
  frames: number;
}

/**
 * Sudden broadband rises, from spectral flux against a held level.
 *
 * 1. In every band the mean of four frames is compared with the highest mean of four frames before (held, falling 60 dB/s).
 * 2. The logarithms of the rises over 3 dB are added over the bands. Beats are slow and in one band; a strike is sudden and in many.
 * 3. Stretches over the threshold are rises; each is asked whether it still rings a tenth of a second later.
 *
 * Goes once through the levels and keeps only the held levels, so that a recording may be of any length.
 * `floor` is the level that a band is taken to have had before `startFrame`, frames x bands as in `levels`.
 */
export function broadbandRises(levels: BandLevels, floor: Float64Array, startFrame: number): Rise[] {
  const { bands, frames } = levels;
  const held = floor.map((level) => 4 * level * AVERAGED);
  const fall = 10 ** ((-HELD_FALL_DB_PER_S / 10) * (levels.hopSamples / levels.sampleRateHz));
  const heldBefore = new Float64Array(bands);
  const rises: Rise[] = [];
  let open: Rise | null = null;
  const recent = framesIn(levels, RECENT_S);
  const ahead = framesAhead(levels);
  let strongest = 0;
  const begin = startFrame + FRAMES_BEFORE_RISE;
  let stretch: Stretch | null = null;
  for (let k = begin; k + AVERAGED <= frames; k++) {
    if (stretch === null || (k - begin) % CHUNK_FRAMES === 0) {
      const from: number = Math.max(0, Math.min(k - AVERAGED, open?.firstFrame ?? k) - APART);
      stretch = stretchOf(levels, from, Math.min(frames, k + CHUNK_FRAMES + ahead));
    }
    const { power } = stretch;
    const at = (k - stretch.fromFrame) * bands;
    let score = 0;
    let added = 0;
    for (let b = 0; b < bands; b++) {
      let after = 0;
      let before = levels.silence * AVERAGED;
      for (let i = 0; i < AVERAGED; i++) {
        after += power[at + i * bands + b];
        before += power[at - (APART + i) * bands + b];
      }
      held[b] = Math.max(held[b] * fall, before);
      if (after > held[b]) added += after - held[b];
      if (after > MARGIN * held[b]) score += Math.min(LARGEST_RISE, Math.log(after / (MARGIN * held[b])));
    }
    if (score < SCORE_THRESHOLD) {
      open = null;
      continue;
    }
    if (open === null) {
      open = { firstFrame: k, lastFrame: k, sample: 0, score: 0, power: 0, rings: false };
      rises.push(open);
      for (let b = 0; b < bands; b++) heldBefore[b] = held[b] / AVERAGED;
      strongest = 0;
      for (let i = rises.length - 1; i >= 0 && k - rises[i].lastFrame < recent; i--) {
        if (rises[i].rings) strongest = Math.max(strongest, rises[i].power);
      }
    }
    open.lastFrame = k;
    open.score = Math.max(open.score, score);
    if (added > open.power) {
      open.power = added;
      open.rings = ringsOn(stretch, heldBefore, k, added < WEAK_RISE * strongest);
      open.sample = stepSample(stretch, heldBefore, open.firstFrame, k);
    }
  }
  return rises;
}

function stretchOf(levels: BandLevels, fromFrame: number, toFrame: number): Stretch {
  return { levels, power: levels.rows(fromFrame, toFrame), fromFrame, frames: levels.frames };
}

/** How many frames beyond its own a rise is judged by. */
function framesAhead(levels: BandLevels): number {
  const part = framesIn(levels, (RING_UNTIL_S - RING_FROM_S) / RING_PARTS);
  return AVERAGED + framesIn(levels, RING_FROM_S) + Math.max(RING_PARTS * part, SMOOTH_SPAN_FRAMES);
}

function ringsOn(stretch: Stretch, heldBefore: Float64Array, frame: number, weak: boolean): boolean {
  const { levels, power, fromFrame, frames } = stretch;
  const { bands } = levels;
  const first = frame + framesIn(levels, RING_FROM_S);
  const part = framesIn(levels, (RING_UNTIL_S - RING_FROM_S) / RING_PARTS);
  if (first + RING_PARTS * part > frames) return false;
  const from = first - fromFrame;
  const at = frame - fromFrame;
  let score = 0;
  let all = 0;
  for (let b = 0; b < bands; b++) {
    let after = 0;
    for (let i = 0; i < AVERAGED; i++) after += power[(at + i) * bands + b];
    after /= AVERAGED;
    if (after <= MARGIN * heldBefore[b]) continue;
    let mean = 0;
    let quietest = Number.POSITIVE_INFINITY;
    for (let k = from; k < from + RING_PARTS * part; k += part) {
      let sum = 0;
      for (let i = k; i < k + part; i++) sum += power[i * bands + b];
      mean += sum / part / RING_PARTS;
      quietest = Math.min(quietest, sum / part);
    }
    const later = weak ? quietest : mean;
    if (later <= MARGIN * heldBefore[b] || (weak && later < KEPT_BY_WEAK_RISE * after)) continue;
    const kept = Math.min(LARGEST_RISE, Math.log(later / (MARGIN * heldBefore[b])));
    all += kept;
    if (!weak || isSmooth(power, bands, levels.silence, from, b)) score += kept;
  }
  return score > RING_THRESHOLD && score > SMOOTH_SHARE * all;
}

/** A step of amplitude in the middle of a Hann window shows a quarter of its later power. */
function stepSample(
  stretch: Stretch,
  heldBefore: Float64Array,
  firstFrame: number,
  peakFrame: number,
): number {
  const { power, fromFrame, frames } = stretch;
  const { bands, hopSamples, windowSamples } = stretch.levels;
  const from = Math.max(0, firstFrame - APART);
  const to = Math.min(frames, peakFrame + AVERAGED);
  const weight = new Float64Array(bands);
  for (let b = 0; b < bands; b++) {
    let after = 0;
    for (let i = 0; i < AVERAGED; i++) after += power[(peakFrame - fromFrame + i) * bands + b];
    if (after > MARGIN * AVERAGED * heldBefore[b]) weight[b] = 1 / heldBefore[b];
  }
  const level = new Float64Array(to - from);
  let top = 0;
  for (let k = from; k < to; k++) {
    let sum = 0;
    for (let b = 0; b < bands; b++) sum += weight[b] * power[(k - fromFrame) * bands + b];
    level[k - from] = sum;
    top = Math.max(top, sum);
  }
  let k = 0;
  while (k < level.length - 1 && level[k] < 0.25 * top) k++;
  const inside = k === 0 ? 0 : (0.25 * top - level[k - 1]) / Math.max(level[k] - level[k - 1], 1e-300);
  return Math.round((from + Math.max(0, k - 1) + inside) * hopSamples + windowSamples / 2);
}
