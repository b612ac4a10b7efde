import type { LadderStep, NoiseSpectrum } from "../spectrum/index.ts";
import { FitScratch } from "./fit-band.ts";
import type { Line } from "./line.ts";

/** What the search for lines in one ring-down knows so far. The steps of the search read and change it in turn. */
export interface Search {
  sampleRateHz: number;
  ladder: LadderStep[];
  /** cos and -sin of the bins' angular steps, one pair a ladder step. */
  steps: BinSteps[];
  /** What is left of every ladder step when the lines are taken off; empty until first wanted. */
  residual: LadderStep[];
  /** Per ladder step, per channel. */
  noise: NoiseSpectrum[][];
  /** Variance per sample under which the noise is never set, e.g. that of the quantiser. */
  noiseFloor: number;
  lines: Line[];
  scratch: FitScratch;
  /** Room for one number a bin of the longest step, used while detecting. */
  power: Float64Array;
  /** Square of the relative departure of real decays from exponentials; 0 trusts the model. */
  misfit: number;
  /** Whether neighbourhoods may grow: on a real ring that departs from free decay growth only chases the departure. */
  growing: boolean;
  /** Growth stops when the fits have cost this much (FitScratch.work). */
  workLimit: number;
}

export interface BinSteps {
  re: Float64Array;
  im: Float64Array;
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
    steps: ladder.map((l) => lazyBinSteps(l.size)),
    residual: [],
    noise: ladder.map(() => noise),
    noiseFloor,
    lines: [],
    scratch: new FitScratch(),
    power: new Float64Array(0),
    misfit,
    growing: true,
    workLimit: 1e8,
  };
}

function lazyBinSteps(size: number): BinSteps {
  let done: BinSteps | null = null;
  const steps = () => {
    done ??= binSteps(size);
    return done;
  };
  return {
    get re() {
      return steps().re;
    },
    get im() {
      return steps().im;
    },
  };
}

function binSteps(size: number): BinSteps {
  const n = size / 2 + 1;
  const re = new Float64Array(n);
  const im = new Float64Array(n);
  const turnRe = Math.cos((2 * Math.PI) / size);
  const turnIm = -Math.sin((2 * Math.PI) / size);
  for (let k = 0; k < n; k++) {
    // By recurrence, set afresh every 64 bins, which keeps the error at the rounding of a few steps.
    if ((k & 63) === 0) {
      re[k] = Math.cos((2 * Math.PI * k) / size);
      im[k] = -Math.sin((2 * Math.PI * k) / size);
    } else {
      re[k] = re[k - 1] * turnRe - im[k - 1] * turnIm;
      im[k] = re[k - 1] * turnIm + im[k - 1] * turnRe;
    }
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
