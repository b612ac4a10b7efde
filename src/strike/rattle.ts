import { type BandLevels, framesIn } from "./band-levels.ts";

/** Looked at for this long after the last contact. */
const LOOK_S = 2;
/** The ring settles first. */
const SETTLE_S = 0.04;
/**
 * A burst lifts the bands by 0.55 (2.4 dB) on the average of all of them, which no beat and no noise does: 0.44 at most over 24 noises of
 * 3 s and 24 beating bells, 0.51 over 24 bells with clusters of four lines.
 */
const BURST = 0.55;
/** That is for 86 bands, as at 44.1 and 48 kHz; where there are fewer, as at a low sample rate, their average scatters more. */
const USUAL_BANDS = 86;
const LARGEST_CHANGE = 3;
const FEWEST_BURSTS = 3;

/** Whether a train of broadband bursts follows the strike: something loose on the bell, or the rod left lying on it. */
export function rattles(levels: BandLevels, lastContactSample: number, endFrame: number): boolean {
  const { bands, silence, frames } = levels;
  const first = Math.ceil(lastContactSample / levels.hopSamples) + framesIn(levels, SETTLE_S);
  const last = Math.min(endFrame, frames - 1, first + framesIn(levels, LOOK_S));
  const burst = BURST * Math.sqrt(Math.max(1, USUAL_BANDS / bands));
  const begin = Math.max(first, 4);
  if (last <= begin) return false;
  const power = levels.rows(begin - 4, last + 1);
  let bursts = 0;
  let before = 0;
  let earlier = 0;
  for (let k = begin; k < last; k++) {
    const row = (k - begin + 4) * bands;
    let change = 0;
    for (let b = row; b < row + bands; b++) {
      const now = power[b] + power[b + bands] + 2 * silence;
      const past = power[b - 3 * bands] + power[b - 4 * bands] + 2 * silence;
      change += Math.max(-LARGEST_CHANGE, Math.min(LARGEST_CHANGE, Math.log(now / past)));
    }
    change /= bands;
    if (before > burst && before >= earlier && before > change) bursts++;
    earlier = before;
    before = change;
  }
  return bursts >= FEWEST_BURSTS;
}
