import { noiseOfResidual } from "../spectrum/index.ts";
import type { Line } from "./line.ts";
import type { Search } from "./search.ts";
import { Skirts } from "./skirts.ts";

/** Under this angular frequency (1.5 kHz) the image of a line is near enough to matter, rad/s. */
const IMAGE_OMEGA = 2 * Math.PI * 1500;

/** Takes all lines off every ladder step; with `renewNoise`, then estimates the noise again from what is left. */
export function updateResidual(search: Search, renewNoise: boolean): void {
  const { ladder, residual, steps, lines, sampleRateHz, noiseFloor } = search;
  for (let l = residual.length; l < ladder.length; l++) {
    const { size, re, im } = ladder[l];
    residual.push({ size, re: re.map((x) => x.slice()), im: im.map((x) => x.slice()) });
  }
  for (let l = 0; l < ladder.length; l++) {
    const { size } = ladder[l];
    let skirts: Skirts | null = null;
    for (let c = 0; c < ladder[l].re.length; c++) {
      const re = residual[l].re[c];
      const im = residual[l].im[c];
      re.set(ladder[l].re[c]);
      im.set(ladder[l].im[c]);
      const quietest = Math.sqrt(size * Math.min(...search.noise[l][c].variance));
      if (lines.length === 0) continue;
      skirts ??= new Skirts(size, sampleRateHz, steps[l]);
      skirts.subtract(lines, c, (line) => reachOf(line, c, size, sampleRateHz, quietest), re, im);
    }
  }
  if (!renewNoise) return;
  for (let l = 0; l < ladder.length; l++) {
    search.noise[l] = residual[l].re.map((re, c) => {
      const own = noiseOfResidual(re, residual[l].im[c], ladder[l].size, sampleRateHz, noiseFloor);
      // What rings only in a short transform is not yet a line there, but it is noise to its neighbours; the reverse is not.
      const least = search.passing ? search.passing.noise[c] : l === 0 ? own : search.noise[0][c];
      return {
        centresHz: own.centresHz,
        variance: own.variance.map((v, i) => Math.max(v, least.variance[i])),
      };
    });
  }
}

/**
 * The bins in which a line is not yet lost: its skirt, |c| fs over the angular distance, falls to a tenth of the quietest
 * bin's noise. Below a kilohertz and a half the whole spectrum is taken, for the image at negative frequency.
 */
function reachOf(line: Line, channel: number, size: number, fs: number, quietest: number): [number, number] {
  const last = size / 2 + 1;
  const amplitude = Math.hypot(line.cRe[channel], line.cIm[channel]);
  const reach = (10 * amplitude * fs) / quietest + 10 * line.alpha;
  const bin = (2 * Math.PI * fs) / size;
  if (line.omega < reach || line.omega < IMAGE_OMEGA)
    return [0, Math.min(last, Math.ceil((line.omega + reach + IMAGE_OMEGA) / bin))];
  return [Math.floor((line.omega - reach) / bin), Math.min(last, Math.ceil((line.omega + reach) / bin))];
}
