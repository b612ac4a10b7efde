import { type LadderStep, noiseAt } from "../spectrum/index.ts";
import { withoutDepartures } from "./departures.ts";
import { closeLines, findLines } from "./find-lines.ts";
import type { Estimated } from "./free-estimate.ts";
import { linePower } from "./line.ts";
import type { RingDown, SearchOpener } from "./ring-down.ts";
import type { Search } from "./search.ts";
import { cloneLine, movedLine, type StableLine } from "./stabilise.ts";
import { stableTracks, summarise, type Tier } from "./tracks.ts";

/** Relative energy by which a line may depart from an exponential (-17 dB): beside it, weaker lines must explain more than that. */
const REAL_MISFIT = 0.02;
/** Starts, s after the earliest usable sample: each two and a half times the one before, as the departures die away. */
const STARTS_S = [0.02, 0.05, 0.12, 0.3, 0.75, 1.9, 4.7];
/** So much of the ring must be left after a start. */
const LEAST_LEFT = 0.4;
const ALIVE_RHO = 12;
const LOWEST_HZ = 30;
/** In power over the mean of the noise: a bin of noise stands so far out once in 5e8. */
const STANDING = 20;
/** Matched-filter SNR that the whole ring is given at the most (76 dB): lines some 60 dB under the strongest are still found. */
const MOST_RHO = 1e7;

/**
 * The lines of a ring that is no sum of free decays from its beginning: each is looked for from several starts, and taken from that
 * which tells it best. What disturbs a ring (the blow, the room, a bell that moves) dies away, and so do the fast partials: a slow
 * one is best known late, a fast one early.
 */
export function fromStarts(ring: RingDown, open: SearchOpener): Estimated {
  const recordS = (ring.endSample - ring.ringStartSample) / ring.sampleRateHz;
  const { tiers, tried, stopReason, last, leftShare } = searchStarts(ring, open);
  const lines = lateFirst(stableTracks(tiers, recordS).map(summarise), tiers);
  return {
    lines,
    startSample: ring.ringStartSample,
    freeDecay: false,
    glide: null,
    tried,
    stopReason,
    search: last,
    junk: [],
    leftShare,
  };
}

/** What each start shows; the lines of one go on to the next, which drops what is gone and adds what was hidden. */
export function searchStarts(ring: RingDown, open: SearchOpener) {
  const recordS = (ring.endSample - ring.ringStartSample) / ring.sampleRateHz;
  const tiers: Tier[] = [];
  let tried = 0;
  let stopReason = "too short";
  let last: Search | null = null;
  let leftShare = 1;
  for (const delayS of STARTS_S) {
    if (delayS > (1 - LEAST_LEFT) * recordS && tiers.length > 1) break;
    const search = open(ring.ringStartSample + Math.round(delayS * ring.sampleRateHz), REAL_MISFIT);
    if (search === null) break;
    raiseFloor(search);
    search.growing = false;
    search.iterations = 12;
    const before = tiers.at(-1);
    if (before) {
      const byS = delayS - before.delayS;
      search.lines = before.lines
        .filter((l) => l.rho * Math.exp(-2 * l.alpha * byS) > ALIVE_RHO)
        .map((l) => movedLine(l, byS));
    }
    stopReason = findLines(search);
    search.lines = withoutDepartures(
      search.lines,
      (l) => l,
      (l) => l.rho,
    );
    search.iterations = 40;
    closeLines(search);
    tiers.push({ delayS, lines: search.lines.map(cloneLine) });
    tried = Math.max(tried, search.lines.length);
    last = search;
    leftShare = Math.min(leftShare, shareLeft(search));
  }
  return { tiers, tried, stopReason, last, leftShare };
}

/**
 * Raises the noise so that the whole ring stands so far over it: what departs from free decays does so by some thousandths, and
 * what lies deeper than that under the strongest is not told from it.
 */
function raiseFloor(search: Search): void {
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
function shareLeft(search: Search): number {
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
  const noise = search.noise[0][c];
  const binHz = search.sampleRateHz / size;
  let energy = 0;
  for (let k = Math.ceil(LOWEST_HZ / binHz); k < re[c].length; k++) {
    const power = re[c][k] * re[c][k] + im[c][k] * im[c][k];
    if (power > STANDING * size * noiseAt(noise, k * binHz)) energy += of.re[c][k] ** 2 + of.im[c][k] ** 2;
  }
  return energy;
}

/** Strength late, when all has settled: the early part of a glide may be the louder. */
function lateFirst(lines: StableLine[], tiers: Tier[]): StableLine[] {
  const lateS = tiers.at(-1)?.delayS ?? 0;
  const late = (l: StableLine) => 0.5 * Math.log(linePower(l.line)) - l.line.alpha * (lateS - l.delayS);
  return withoutDepartures(lines, (l) => l.line, late);
}
