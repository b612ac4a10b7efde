import { type BandLevels, framesIn } from "./band-levels.ts";
import type { Rise } from "./broadband-rise.ts";
import { meanLevels } from "./noise-floor.ts";
import { smoothBands } from "./smooth.ts";

/** The rises of one strike. */
export interface RiseGroup {
  rises: Rise[];
  /** The first frame of the recording when it begins in this ring; else null. */
  beginsAtFrame: number | null;
}

/** Contacts this close to the one before belong to the same strike. */
export const SAME_STRIKE_S = 0.15;
/** Nobody strikes 40 dB softer than in the same recording before: such a rise is a noise of the room. */
const SOFTEST = 1e-4;
/**
 * A recording begins in the ring when its beginning stands 10 dB over its quietest in several bands, and 0.15 s later still 6 dB, and a
 * tenth of them run smooth or they change together (3 dB): behind a gain control, a gate or a lossy coder the noise before the strike stands far over
 * that under the ring, but it is rough and holds still.
 */
const IN_RING = 10;
const STILL_IN_RING = 4;
const IN_RING_BANDS = 3;
const IN_RING_FRAMES = 4;
const STILL_S = 0.15;
const CHANGED = Math.log(2);
const SMOOTH_SHARE = 0.1;

/** Whether the sound at `firstFrame` is a ring that began before, or right there. */
export function beginsInRing(levels: BandLevels, quietest: Float64Array, firstFrame: number): boolean {
  const { bands, frames } = levels;
  const later = firstFrame + framesIn(levels, STILL_S);
  if (later + IN_RING_FRAMES > frames) return false;
  const start = new Float64Array(bands);
  const still = new Float64Array(bands);
  meanLevels(levels, firstFrame, firstFrame + IN_RING_FRAMES, start);
  meanLevels(levels, later, later + IN_RING_FRAMES, still);
  const smooth = smoothBands(levels, later);
  let ringing = 0;
  let lines = 0;
  let change = 0;
  for (let b = 0; b < bands; b++) {
    if (start[b] <= IN_RING * quietest[b] || still[b] <= STILL_IN_RING * quietest[b]) continue;
    ringing++;
    change += Math.log(start[b] / still[b]);
    if (smooth[b]) lines++;
  }
  return ringing >= IN_RING_BANDS && (lines > SMOOTH_SHARE * ringing || Math.abs(change) > CHANGED * ringing);
}

/**
 * Rises to strikes: one that follows within 150 ms of the one before joins it, a burst that does not ring on only within 150 ms of the
 * first. What does not ring at all is a click and is left out. `inRingFrame` is the first frame when the recording begins in a ring.
 */
export function groupRises(levels: BandLevels, rises: Rise[], inRingFrame: number | null): RiseGroup[] {
  const near = framesIn(levels, SAME_STRIKE_S);
  const groups: RiseGroup[] = inRingFrame === null ? [] : [{ rises: [], beginsAtFrame: inRingFrame }];
  for (const rise of rises) {
    const group = groups.at(-1);
    if (group !== undefined) {
      const first = group.beginsAtFrame ?? group.rises[0].firstFrame;
      const last = group.rises.findLast((r) => r.rings)?.lastFrame ?? first;
      if (rise.firstFrame - (rise.rings ? last : first) <= near) {
        group.rises.push(rise);
        continue;
      }
    }
    groups.push({ rises: [rise], beginsAtFrame: null });
  }
  const loudest = rises.reduce((power, rise) => (rise.rings ? Math.max(power, rise.power) : power), 0);
  const isStrike = (rise: Rise) => rise.rings && rise.power > SOFTEST * loudest;
  return groups.filter((group) => group.beginsAtFrame !== null || group.rises.some(isStrike));
}
