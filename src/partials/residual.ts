import { noiseOfResidual } from "../spectrum/index.ts";
import { subtractLine } from "./line.ts";
import type { Search } from "./search.ts";

/** Takes all lines off every ladder step; with `renewNoise`, then estimates the noise again from what is left. */
export function updateResidual(search: Search, renewNoise: boolean): void {
  const { ladder, residual, steps, lines, sampleRateHz, noiseFloor } = search;
  for (let l = residual.length; l < ladder.length; l++) {
    const { size, re, im } = ladder[l];
    residual.push({ size, re: re.map((x) => x.slice()), im: im.map((x) => x.slice()) });
  }
  for (let l = 0; l < ladder.length; l++) {
    const { size } = ladder[l];
    const count = size / 2 + 1;
    for (let c = 0; c < ladder[l].re.length; c++) {
      residual[l].re[c].set(ladder[l].re[c]);
      residual[l].im[c].set(ladder[l].im[c]);
      for (const line of lines) {
        subtractLine(
          line,
          c,
          size,
          sampleRateHz,
          steps[l].re,
          steps[l].im,
          count,
          residual[l].re[c],
          residual[l].im[c],
        );
      }
    }
  }
  if (!renewNoise) return;
  for (let l = 0; l < ladder.length; l++) {
    search.noise[l] = residual[l].re.map((re, c) => {
      const own = noiseOfResidual(re, residual[l].im[c], ladder[l].size, sampleRateHz, noiseFloor);
      if (l === 0) return own;
      // What rings only in a short transform is not yet a line there, but it is noise to its neighbours; the reverse is not.
      const long = search.noise[0][c].variance;
      return { centresHz: own.centresHz, variance: own.variance.map((v, i) => Math.max(v, long[i])) };
    });
  }
}
