import type { LadderStep, NoiseSpectrum } from "../spectrum/index.ts";
import { FitScratch } from "./fit-band.ts";
import type { Line } from "./line.ts";

/** What the search for lines in one ring-down knows so far. The steps of the search read and change it in turn. */
export interface Search {
  sampleRateHz: number;
  ladder: LadderStep[];
  /** One for each ladder step. */
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
  /**
   * The part of the energy of a bin at this angular frequency that is noise too: what is known to be left of lines that are no
   * exponentials to the last digit. Null where they are.
   */
  departure: ((omega: number) => number) | null;
  /** Where the recorder lets only through what stands out of the noise; null where it lets all through. */
  passing: Passing | null;
  /** Whether neighbourhoods may grow: on a real ring that departs from free decay growth only chases the departure. */
  growing: boolean;
  /** Steps of a fit at the most. */
  iterations: number;
  /** Growth stops when the fits have cost this much (FitScratch.work). */
  workLimit: number;
}

export interface Passing {
  /** The noise while all is let through, one curve a channel: what is left may be louder, never quieter. */
  noise: NoiseSpectrum[];
  /** For how long after the start sound of this angular frequency is let through in full, s. */
  openS: (omega: number) => number;
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
    steps: ladder.map((l) => new BinSteps(l.size)),
    residual: [],
    noise: ladder.map(() => noise),
    noiseFloor,
    lines: [],
    scratch: new FitScratch(),
    power: new Float64Array(0),
    misfit,
    departure: null,
    passing: null,
    growing: true,
    iterations: 40,
    workLimit: 1e8,
  };
}

/** Bins that are worked out together. */
const BLOCK = 64;

/** cos and -sin of the bins' angular steps; a fit wants those around its lines only, so each block is worked out when wanted. */
export class BinSteps {
  readonly re: Float64Array;
  readonly im: Float64Array;
  private readonly known: Uint8Array;

  /** For the transform of `size` samples. */
  constructor(private readonly size: number) {
    this.re = new Float64Array(size / 2 + 1);
    this.im = new Float64Array(size / 2 + 1);
    this.known = new Uint8Array(Math.ceil(this.re.length / BLOCK));
  }

  /** Makes bins from..to-1 ready in `re` and `im`. */
  ensure(from: number, to: number): void {
    if (to <= from) return;
    const last = Math.min(this.known.length, Math.ceil(to / BLOCK));
    for (let b = Math.max(0, Math.floor(from / BLOCK)); b < last; b++) if (this.known[b] === 0) this.fill(b);
  }

  private fill(block: number): void {
    const { re, im, size } = this;
    const first = block * BLOCK;
    const end = Math.min(re.length, first + BLOCK);
    const turn = (2 * Math.PI) / size;
    const turnRe = Math.cos(turn);
    const turnIm = -Math.sin(turn);
    re[first] = Math.cos(turn * first);
    im[first] = -Math.sin(turn * first);
    // By recurrence within the block, which keeps the error at the rounding of a few steps.
    for (let k = first + 1; k < end; k++) {
      re[k] = re[k - 1] * turnRe - im[k - 1] * turnIm;
      im[k] = re[k - 1] * turnIm + im[k - 1] * turnRe;
    }
    this.known[block] = 1;
  }
}

/** The shortest ladder step that still holds the line's whole decay (alpha T >= 8), else the longest; none that the recorder cut. */
export function levelFor(search: Search, alpha: number, omega: number): number {
  let level = search.ladder.length - 1;
  while (level > 0 && durationS(search, level) * Math.max(alpha, 1e-3) < 8) level--;
  while (!isOpen(search, level, omega)) level++;
  return level;
}

/** Whether sound of this angular frequency is let through for as long as the transform of this step lasts; the shortest step is never left out. */
export function isOpen(search: Search, level: number, omega: number): boolean {
  return level === search.ladder.length - 1 || letsThrough(search, level, omega);
}

/** Whether sound of this angular frequency is let through for as long as the shortest transform lasts: else nothing can be said of it. */
export function isHeard(search: Search, omega: number): boolean {
  return letsThrough(search, search.ladder.length - 1, omega);
}

function letsThrough(search: Search, level: number, omega: number): boolean {
  return search.passing === null || search.passing.openS(omega) >= durationS(search, level);
}

function durationS(search: Search, level: number): number {
  return search.ladder[level].size / search.sampleRateHz;
}
