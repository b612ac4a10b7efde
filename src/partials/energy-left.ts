import type { LadderStep } from "../spectrum/index.ts";
import type { Search } from "./search.ts";

const LOWEST_HZ = 30;
/** In power over the mean of the noise: a bin of noise stands so far out once in 5e8. */
const STANDING = 20;
/** Matched-filter SNR that a whole ring which departs from free decays is given at the most (70 dB): its lines are found to some 50 dB under the strongest. */
const MOST_RHO = 1e7;

/**
 * Raises the noise so that the whole ring stands so far over it: what departs from free decays does so by some thousandths, and
 * what lies deeper than that under the strongest is not told from it.
 */
export function raiseFloor(search: Search): void {
  const whole = search.ladder[0];
  const raised = search.noise[0].map(({ centresHz, variance }, c) => {
    const standing = energyStanding(search, c, whole);
    // Parseval, both halves of the spectrum; a decay's energy over twice the noise is its rho.
    const floor = standing / whole.size / MOST_RHO;
    search.noiseFloor = Math.max(search.noiseFloor, floor);
    return { centresHz, variance: variance.map((v) => Math.max(v, floor)) };
  });
  search.noise = search.ladder.map(() => raised);
}

/** The part of the energy that stood out of the noise which the lines leave over. */
export function shareLeft(search: Search): number {
  let whole = 0;
  let left = 0;
  for (let c = 0; c < search.ladder[0].re.length; c++) {
    whole += energyStanding(search, c, search.ladder[0]);
    left += energyStanding(search, c, search.residual[0]);
  }
  return whole > 0 ? left / whole : 0;
}

/** Energy of one channel in the bins of the longest transform that stand out of the noise before any line is taken off. */
function energyStanding(search: Search, c: number, of: LadderStep): number {
  const { size, re, im } = search.ladder[0];
  const { centresHz, variance } = search.noise[0][c];
  const [x, y, left, right] = [re[c], im[c], of.re[c], of.im[c]];
  const binHz = search.sampleRateHz / size;
  let energy = 0;
  let k = Math.ceil(LOWEST_HZ / binHz);
  for (let i = 0; i < centresHz.length; i++) {
    // The noise of the nearest centre will do: it moves by little from one to the next.
    const end =
      i + 1 < centresHz.length ? Math.ceil((centresHz[i] + centresHz[i + 1]) / 2 / binHz) : x.length;
    const least = STANDING * size * variance[i];
    for (; k < end; k++) {
      if (x[k] * x[k] + y[k] * y[k] > least) energy += left[k] * left[k] + right[k] * right[k];
    }
  }
  return energy;
}
