import { type BandLevels, framesIn } from "./band-levels.ts";
import type { Rise } from "./broadband-rise.ts";
import { cutOffFrame, FLUTTER_S } from "./cut-off.ts";
import { meanLevels } from "./noise-floor.ts";
import { SAME_STRIKE_S } from "./rise-groups.ts";

/**
 * What a rise reaches is compared with the highest blocks of the ring since it settled, over so long until a little before the rise: a
 * gate shuts in the trough of a beat and opens when the beat comes back.
 */
const RECENT_S = 1.5;
/** What opens a gate that has been shut for longer is something new. */
const LONGEST_SHUT_S = 5;
const BLOCK_S = 0.025;
const SETTLE_S = 0.15;
const SHORT_OF_S = 0.05;
/** It is looked at when the click of the opening is over. */
const AFTER_S = 0.025;
const LOOK_S = 0.075;
/** A band is louder than before by 3 dB; added up as in a rise, the logarithms over that make a new sound. */
const LOUDER = 2;
const MOST = 2;
const NEW_SOUND = 3;

/**
 * The rises that are sounds of their own, without those at which a gate opens again: it has shut since the strike before, or
 * is about to, and what then sounds is no louder than what was. A gate takes away and gives back; a
 * strike, a click, a rattle adds. `inRingFrame` is the first frame when the recording begins in a ring, else null.
 */
export function withoutReopenings(levels: BandLevels, rises: Rise[], inRingFrame: number | null): Rise[] {
  const near = framesIn(levels, SAME_STRIKE_S);
  const kept: Rise[] = [];
  for (const rise of rises) {
    const last = kept.findLast((r) => r.rings)?.lastFrame ?? inRingFrame;
    const isOwn = last === null || rise.firstFrame - last <= near;
    if (isOwn || !reopens(levels, last, rise)) kept.push(rise);
  }
  return kept;
}

function reopens(levels: BandLevels, fromFrame: number, rise: Rise): boolean {
  if (isLouder(levels, fromFrame, rise)) return false;
  const from = Math.max(fromFrame, rise.firstFrame - framesIn(levels, LONGEST_SHUT_S));
  const until = Math.min(levels.frames, rise.lastFrame + framesIn(levels, FLUTTER_S));
  return cutOffFrame(levels, from, until) !== null;
}

/** Whether what sounds after a rise is louder than the ring was before it; true also where the recording ends too soon to tell. */
function isLouder(levels: BandLevels, fromFrame: number, rise: Rise): boolean {
  const { bands, frames } = levels;
  const after = rise.lastFrame + framesIn(levels, AFTER_S);
  const end = after + framesIn(levels, LOOK_S);
  if (end > frames) return true;
  const mean = new Float64Array(bands);
  const before = new Float64Array(bands);
  const block = framesIn(levels, BLOCK_S);
  const limit = rise.firstFrame - framesIn(levels, SHORT_OF_S);
  const begin = Math.max(fromFrame + framesIn(levels, SETTLE_S), limit - framesIn(levels, RECENT_S));
  for (let k = begin; k + block <= limit; k += block) {
    meanLevels(levels, k, k + block, mean);
    for (let b = 0; b < bands; b++) before[b] = Math.max(before[b], mean[b]);
  }
  meanLevels(levels, after, end, mean);
  let score = 0;
  for (let b = 0; b < bands; b++) {
    if (mean[b] > LOUDER * before[b]) score += Math.min(MOST, Math.log(mean[b] / (LOUDER * before[b])));
  }
  return score >= NEW_SOUND;
}
