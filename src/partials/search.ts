import type { LadderStep, NoiseSpectrum } from "../spectrum/index.ts";
import { FitScratch } from "./fit-band.ts";
import type { Line } from "./line.ts";

/** What the search for lines in one ring-down knows so far. The steps of the search read and change it in turn. */
export interface Search {
  sampleRateHz: number;
  ladder: LadderStep[];
  /** cos and -sin of the bins' angular steps, one pair a ladder step. */
  steps: { re: Float64Array; im: Float64Array }[];
  /** What is left of every ladder step when the lines are taken off. */
  residual: LadderStep[];
  /** Per ladder step, per channel. */
  noise: NoiseSpectrum[][];
  /** Variance per sample under which the noise is never set, e.g. that of the quantiser. */
  noiseFloor: number;
  lines: Line[];
  scratch: FitScratch;
  /** Square of the relative departure of real decays from exponentials; 0 trusts the model. */
  misfit: number;
  /** Least-squares fits done, for the report. */
  fits: number;
}

export function newSearch(
  sampleRateHz: number,
  ladder: LadderStep[],
  noise: NoiseSpectrum[],
  noiseFloor: number,
  misfit: number,
): Search {
  return {
    sampleRateHz,
    ladder,
    steps: ladder.map((l) => binSteps(l.size)),
    residual: ladder.map((l) => ({ size: l.size, re: l.re.map((x) => x.slice()), im: l.im.map((x) => x.slice()) })),
    noise: ladder.map(() => noise),
    noiseFloor,
    lines: [],
    scratch: new FitScratch(),
    misfit,
    fits: 0,
  };
}

function binSteps(size: number): { re: Float64Array; im: Float64Array } {
  const n = size / 2 + 1;
  const re = new Float64Array(n);
  const im = new Float64Array(n);
  for (let k = 0; k < n; k++) {
    const w = (2 * Math.PI * k) / size;
    re[k] = Math.cos(w);
    im[k] = -Math.sin(w);
  }
  return { re, im };
}

/** The shortest ladder step that still holds the line's whole decay (alpha T >= 8), else the longest. */
export function levelFor(search: Search, alpha: number): number {
  for (let l = search.ladder.length - 1; l >= 0; l--) {
    if ((search.ladder[l].size / search.sampleRateHz) * Math.max(alpha, 1e-3) >= 8) return l;
  }
  return 0;
}
