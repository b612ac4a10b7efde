import type { BandLevels } from "./band-levels.ts";

/** Frames that share no sample are this far apart; so many are looked at, a tenth of a second or so. */
const APART = 3;
const FRAMES = 7;
/** The logarithms of a line's power lie this close to a straight line (rms); those of noise scatter by 0.5 or more. */
const SMOOTH = 0.25;

/** Frames that are looked at, from the first to the last. */
export const SMOOTH_SPAN_FRAMES = (FRAMES - 1) * APART + 1;

/** Whether each band runs smooth from a frame on, as a ring does, and not rough, as noise; all false where the recording ends before. */
export function smoothBands(levels: BandLevels, fromFrame: number): boolean[] {
  const { bands, frames, silence } = levels;
  const end = fromFrame + SMOOTH_SPAN_FRAMES;
  if (end > frames) return new Array<boolean>(bands).fill(false);
  const power = levels.rows(fromFrame, end);
  return Array.from({ length: bands }, (_, band) => isSmooth(power, bands, silence, 0, band));
}

/** The same for one band of levels at hand: `power` holds frames x bands, the first frame looked at is row `fromRow`. */
export function isSmooth(
  power: ArrayLike<number>,
  bands: number,
  silence: number,
  fromRow: number,
  band: number,
): boolean {
  const middle = (FRAMES - 1) / 2;
  let sum = 0;
  let squares = 0;
  let moment = 0;
  let spread = 0;
  for (let i = 0; i < FRAMES; i++) {
    const y = Math.log(power[(fromRow + i * APART) * bands + band] + silence);
    sum += y;
    squares += y * y;
    moment += (i - middle) * y;
    spread += (i - middle) ** 2;
  }
  const residual = squares - (sum * sum) / FRAMES - (moment * moment) / spread;
  return residual < (FRAMES - 2) * SMOOTH * SMOOTH;
}
