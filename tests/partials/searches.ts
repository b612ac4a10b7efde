import type { Line } from "../../src/partials/line.ts";
import { newSearch, type Search } from "../../src/partials/search.ts";
import { fftLadder, noiseCentresHz } from "../../src/spectrum/index.ts";

export const RATE_HZ = 16_000;
const SAMPLES = 49_152;
/** Noise variance per sample that the search takes for known. */
export const VARIANCE = 1e-6;

/** A search in the sum of the lines, with the lines known; bins of a third of a hertz in the longest transform. */
export function searchOf(lines: Line[]): Search {
  const x = new Float64Array(SAMPLES);
  for (const line of lines) {
    for (let n = 0; n < SAMPLES; n++) {
      const t = n / RATE_HZ;
      const turn = line.omega * t;
      x[n] += 2 * Math.exp(-line.alpha * t) * (line.cRe[0] * Math.cos(turn) - line.cIm[0] * Math.sin(turn));
    }
  }
  const centresHz = noiseCentresHz(RATE_HZ);
  const noise = { centresHz, variance: new Float64Array(centresHz.length).fill(VARIANCE) };
  const search = newSearch(RATE_HZ, fftLadder([x], 0, SAMPLES, 48_000), [noise], 0, 0);
  search.lines = lines;
  return search;
}
