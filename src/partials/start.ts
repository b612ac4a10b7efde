import { detect } from "./detect.ts";
import { fitNeighbourhood } from "./fit-lines.ts";
import { candidateLine, type Line } from "./line.ts";
import { neighbourhoods } from "./neighbourhood.ts";
import { updateResidual } from "./residual.ts";
import type { Search } from "./search.ts";

/** Delays after the earliest usable sample that are tried, s. */
const START_DELAYS_S = [0, 0.05, 0.1, 0.2, 0.4];

/** A probe may cost this much (FitScratch.work); a neighbourhood that wants more is not one of free decays. */
const PROBE_WORK = 4e6;

/** A misfit energy under this part of the lines' (-35 dB) is that of free decays. */
export const FREE_DECAY_SHARE = 3e-4;

/**
 * The part of the strongest neighbourhoods' energy that a few damped lines each cannot explain, median over them.
 * Near 0 for free decays; the room's answer, a moving bell, a bounce or a gain control leave 1e-3 and more.
 */
export function misfitShare(search: Search): number {
  const found = detect(search, 0).slice(0, 6);
  const channels = search.ladder[0].re.length;
  for (const d of found) {
    const alpha = (3 * search.sampleRateHz) / search.ladder[d.level].size;
    search.lines.push(candidateLine(alpha, 2 * Math.PI * d.frequencyHz, channels));
  }
  for (const g of neighbourhoods(search)) fitNeighbourhood(search, g, false);
  for (const g of neighbourhoods(search)) fitNeighbourhood(search, g, true);
  const shares: number[] = [];
  for (const g of neighbourhoods(search)) shares.push(shareOf(g));
  shares.sort((a, b) => a - b);
  return shares.length ? shares[shares.length >> 1] : 0;
}

function shareOf(group: Line[]): number {
  let rho = 0;
  for (const l of group) rho += l.rho;
  const bins = 100;
  return rho > 0 ? (Math.max(0, group[0].chi - 1.5) * bins) / rho : 0;
}

/** A start from which the ring-down is a sum of free decays, with the strongest lines as fitted from there. */
export interface FreeStart {
  delayS: number;
  lines: Line[];
}

/**
 * The earliest start from which the ring-down is a sum of free decays, or null when there is none. Early is poison (the
 * room, the blow, the moving bell), late costs the fast partials. `searchAt` opens a fresh search at a delay, or null
 * where too little of the ring is left.
 */
export function freeDecayStart(
  searchAt: (delayS: number) => Search | null,
  delaysS: number[] = START_DELAYS_S,
): FreeStart | null {
  for (const delayS of delaysS) {
    const search = searchAt(delayS);
    if (search === null) return null;
    search.workLimit = PROBE_WORK;
    updateResidual(search, false);
    if (misfitShare(search) <= FREE_DECAY_SHARE) return { delayS, lines: search.lines };
  }
  return null;
}
