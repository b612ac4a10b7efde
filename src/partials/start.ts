import { type Detection, detect } from "./detect.ts";
import { fitNeighbourhood } from "./fit-lines.ts";
import { candidateLine, type Line } from "./line.ts";
import { neighbourhoods } from "./neighbourhood.ts";
import { updateResidual } from "./residual.ts";
import type { SearchOpener } from "./ring-down.ts";
import type { Search } from "./search.ts";

/** While a start is probed, lines under this part of a neighbour's energy (-13 dB) count as its misfit. */
const PROBE_MISFIT = 0.05;

/** A probe may cost this much (FitScratch.work); a neighbourhood that wants more is not one of free decays. */
const PROBE_WORK = 4e6;

/** A misfit energy under this part of the lines' (-35 dB) is that of free decays. */
export const FREE_DECAY_SHARE = 3e-4;

/** Neighbourhoods that are asked. */
const PROBED = 6;

/**
 * The part of the strongest neighbourhoods' energy that a few damped lines each cannot explain, median over them.
 * Near 0 for free decays; the room's answer, a moving bell, a bounce or a gain control leave 1e-3 and more. Where much is left,
 * the lines beside those that were asked may be missing, whose skirts are no misfit: they are looked for, once.
 */
export function misfitShare(search: Search): number {
  for (const d of detect(search, 0).slice(0, PROBED)) addDetected(search, d);
  const probed = new Set(search.lines);
  fitTwice(search);
  const first = medianShare(search, probed);
  if (first <= FREE_DECAY_SHARE) return first;
  updateResidual(search, false);
  const beside = detect(search, 0).filter((d) => liesBeside(search, d));
  if (beside.length === 0) return first;
  for (const d of beside) addDetected(search, d);
  fitTwice(search);
  return Math.min(first, medianShare(search, probed));
}

function addDetected(search: Search, { level, frequencyHz }: Detection): void {
  const alpha = (3 * search.sampleRateHz) / search.ladder[level].size;
  search.lines.push(candidateLine(alpha, 2 * Math.PI * frequencyHz, search.ladder[0].re.length));
}

function fitTwice(search: Search): void {
  for (const g of neighbourhoods(search)) fitNeighbourhood(search, g, false);
  for (const g of neighbourhoods(search)) fitNeighbourhood(search, g, true);
}

/** Outside the neighbourhood of a line, which growth looks through, and near enough for its skirt to be seen in the line's band. */
function liesBeside(search: Search, { frequencyHz }: Detection): boolean {
  const distances = search.lines.map((l) => Math.abs(2 * Math.PI * frequencyHz - l.omega) / l.alpha);
  // In half linewidths: a neighbourhood reaches six linewidths, a band ten.
  return distances.every((d) => d > 12) && distances.some((d) => d < 60);
}

function medianShare(search: Search, probed: Set<Line>): number {
  const groups = neighbourhoods(search).filter((g) => g.some((l) => probed.has(l)));
  const shares = groups.map(shareOf).sort((a, b) => a - b);
  return shares.length ? shares[shares.length >> 1] : 0;
}

function shareOf(group: Line[]): number {
  let rho = 0;
  for (const l of group) rho += l.rho;
  const bins = 100;
  return rho > 0 ? (Math.max(0, group[0].chi - 1.5) * bins) / rho : 0;
}

/** The same of the strongest neighbourhoods of a search that has its lines. */
export function freeDecayShare(search: Search): number {
  const strongest = [...search.lines].sort((a, b) => b.rho - a.rho).slice(0, PROBED);
  return medianShare(search, new Set(strongest));
}

/** A start from which the ring-down is a sum of free decays, with the strongest lines as fitted from there. */
export interface FreeStart {
  startSample: number;
  lines: Line[];
}

/** Whether the ring-down is a sum of free decays from a start on: then with its strongest lines; null where it is none, or too short. */
export function freeDecayStart(startSample: number, open: SearchOpener): FreeStart | null {
  const search = open(startSample, PROBE_MISFIT);
  if (search === null) return null;
  search.workLimit = PROBE_WORK;
  updateResidual(search, false);
  return misfitShare(search) <= FREE_DECAY_SHARE ? { startSample, lines: search.lines } : null;
}
