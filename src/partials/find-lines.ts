import { detect, detectionThreshold } from "./detect.ts";
import { boundsAround, DECAY_RATE_MAX, fitBand } from "./fit-band.ts";
import { fitNeighbourhood, polesOf, splitThreshold, store } from "./fit-lines.ts";
import { candidateLine, type Line, linePower } from "./line.ts";
import { bandOf, neighbourhoods } from "./neighbourhood.ts";
import { updateResidual } from "./residual.ts";
import type { Search } from "./search.ts";

/** A search that grows down to the noise and finds more lines than this finds noise that goes with the sound, as of lossy coding. */
const MOST_LINES = 80;
/** Without growth: a bell has well over a hundred modes in print. */
const MOST_APART = 250;
const MOST_PASSES = 8;
/** Without growth: what is then still hidden is seen from the next start. */
const FEWER_PASSES = 5;
const WEAK_RHO = 300;

/**
 * Finds every damped line: detect on the residual, fit the neighbourhoods, let them grow, take off, detect again until
 * nothing new stands out; then a backward test of the weak ones, and closing sweeps. `firstPass` above 0 continues from
 * lines that are already there. Returns why it stopped.
 */
export function findLines(search: Search, firstPass = 0): string {
  const channels = search.ladder[0].re.length;
  let stop = "pass limit";
  if (search.residual.length === 0) updateResidual(search, search.lines.length > 0);
  for (let pass = firstPass; pass < (search.growing ? MOST_PASSES : FEWER_PASSES); pass++) {
    const found = detect(search, pass);
    if (found.length === 0 && pass > Math.max(1, firstPass)) {
      stop = "nothing new stands out";
      break;
    }
    for (const d of found) {
      const alpha = (3 * search.sampleRateHz) / search.ladder[d.level].size;
      search.lines.push(candidateLine(alpha, 2 * Math.PI * d.frequencyHz, channels));
    }
    // Without growth the late passes add weak lines only: theirs are the only neighbourhoods that still move.
    if (!search.growing && pass >= 3) sweepOver(search, false, (g) => g.some((l) => linePower(l) === 0));
    else for (let sweep = 0; sweep < (pass < 3 ? 2 : 1); sweep++) sweepOver(search, pass >= 1 && sweep === 0);
    search.lines = search.lines.filter((l) => l.rho > 6 && l.alpha < DECAY_RATE_MAX * 0.93);
    updateResidual(search, true);
    const isFull = search.lines.length > (search.growing ? MOST_LINES : MOST_APART);
    if (isFull || search.scratch.work > search.workLimit) {
      stop = isFull ? "line limit" : "work limit";
      break;
    }
  }
  return stop;
}

/** The backward test and the closing sweeps. */
export function settleLines(search: Search): void {
  removeUnneeded(search);
  for (let i = 0; i < 2; i++) sweepOver(search, false);
  closeLines(search);
}

/** Closing sweeps without a backward test. */
export function closeLines(search: Search): void {
  sweepOver(search, false);
  updateResidual(search, true);
  sweepOver(search, false);
  search.lines = search.lines.filter((l) => Number.isFinite(l.sdOmega));
}

/** Fits every neighbourhood that is wanted once, the loudest first: its skirts are taken off the others. */
function sweepOver(search: Search, grow: boolean, wanted: (group: Line[]) => boolean = () => true): void {
  const groups = neighbourhoods(search).filter(wanted);
  const loudness = (g: Line[]) => Math.max(...g.map(linePower));
  groups.sort((a, b) => loudness(b) - loudness(a));
  for (const g of groups) fitNeighbourhood(search, g, grow && search.scratch.work < search.workLimit);
}

/** Backward test: a weak line goes when the fit without it is not worse by the threshold that let it in. */
function removeUnneeded(search: Search): void {
  for (const whole of neighbourhoods(search)) {
    let group = whole;
    const weak = group
      .filter((l) => l.rho < WEAK_RHO || l.sdOmega > 0.4 * l.alpha || l.alpha > DECAY_RATE_MAX / 3)
      .sort((a, b) => a.rho - b.rho);
    for (const line of weak) {
      const band = bandOf(search, group);
      const withIt = fitBand(band, polesOf(group), boundsAround(polesOf(group).alpha), search.scratch);
      const rest = group.filter((l) => l !== line);
      const without = fitBand(band, polesOf(rest), boundsAround(polesOf(rest).alpha), search.scratch);
      const needed = rest.length === 0 ? detectionThreshold(search) : splitThreshold(search);
      if (without.rss - withIt.rss >= needed) continue;
      search.lines = search.lines.filter((l) => l !== line);
      group = rest;
      if (rest.length === 0) break;
      store(
        search,
        rest,
        band,
        without,
        rest.some((l) => l.misfitting),
      );
    }
  }
}
