import type { BandLevels } from "./band-levels.ts";
import { meanLevels } from "./noise-floor.ts";

/** Frames that share no sample are this far apart; so many are looked at, a tenth of a second or so. */
const APART = 3;
const FRAMES = 7;
/** The logarithms of a line's power lie this close to a straight line (rms); those of noise scatter by 0.5 or more. */
const SMOOTH = 0.25;

/** Whether each band runs smooth from a frame on, as a ring does, and not rough, as noise; all false where the recording ends before. */
export function smoothBands(levels: BandLevels, fromFrame: number): boolean[] {
  const { bands, frames, silence } = levels;
  const smooth = new Array<boolean>(bands).fill(false);
  if (fromFrame + (FRAMES - 1) * APART >= frames) return smooth;
  const rows = Array.from({ length: FRAMES }, (_, i) => {
    const row = new Float64Array(bands);
    meanLevels(levels, fromFrame + i * APART, fromFrame + i * APART + 1, row);
    return row;
  });
  const middle = (FRAMES - 1) / 2;
  const spread = rows.reduce((sum, _, i) => sum + (i - middle) ** 2, 0);
  for (let b = 0; b < bands; b++) {
    let sum = 0;
    let squares = 0;
    let moment = 0;
    rows.forEach((row, i) => {
      const y = Math.log(row[b] + silence);
      sum += y;
      squares += y * y;
      moment += (i - middle) * y;
    });
    const residual = squares - (sum * sum) / FRAMES - (moment * moment) / spread;
    smooth[b] = residual < (FRAMES - 2) * SMOOTH * SMOOTH;
  }
  return smooth;
}
