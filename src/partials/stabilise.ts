import { fitNeighbourhood } from "./fit-lines.ts";
import { type Line, linePower } from "./line.ts";
import { neighbourhoods } from "./neighbourhood.ts";
import type { Search } from "./search.ts";

/** A line with what fits from a later start say of it. */
export interface StableLine {
  line: Line;
  /** Seconds after the start of the search at which the line's values were taken. */
  delayS: number;
  /** The line as fitted from the first start that has it: the nearest to the strike, for its amplitude and phase. */
  early: { line: Line; delayS: number };
  /** Standard deviations of omega and alpha, the scatter between stretches included. */
  sdOmega: number;
  sdAlpha: number;
  /** True: the later fit has the line again. False: kept as a visible peak that does not settle. */
  settled: boolean;
  /** Which other data had the line again. */
  seenIn: string[];
}

/** Opens a search at a later start whose lines are the whole set's, moved there, in the same order. */
export type LateSearch = (delayS: number) => Search | null;

interface Neighbourhood {
  search: Search;
  lateSearch: LateSearch;
  /** Indices of the neighbourhood's lines in the search. */
  members: Set<number>;
}

/** Late stretches begin this many decay constants after the early one. */
const DELAY_DECAYS = 0.35;
const STEPS = 3;
const ALIVE_RHO = 12;

/**
 * What experimental modal analysis asks of a pole (the stabilisation diagram), between stretches: fit every neighbourhood
 * again from a later start and keep a line only when the later fit has it at the same frequency and decay rate, with the
 * amplitude fallen as the decay says. Where a neighbourhood does not settle from here, its start moves on, three times
 * at the most. The strongest line of a neighbourhood that never settles stays as a visible peak with a wide interval.
 */
export function stabilise(search: Search, lateSearch: LateSearch): StableLine[] {
  const kept: StableLine[] = [];
  const index = new Map(search.lines.map((l, i) => [l, i]));
  for (const group of neighbourhoods(search)) {
    const members = new Set(group.map((l) => index.get(l)!));
    kept.push(...stabiliseGroup({ search, lateSearch, members }, group));
  }
  return kept;
}

function stabiliseGroup(where: Neighbourhood, group: Line[]): StableLine[] {
  let base = 0;
  let lines = group.map(cloneLine);
  let widest: StableLine | null = null;
  for (let step = 0; step < STEPS; step++) {
    const judged = lines.map((line) => judge(where, lines, line, base));
    const passing = judged.filter((j) => j !== null).filter((j) => j.settled);
    if (passing.length === lines.length) return passing;
    if (passing.length > 0) {
      // The lines that do not persist were standing in for misfit: fit the others without them, and ask again.
      const rest = refit(
        where,
        passing.map((p) => p.line),
        base,
      );
      if (rest === null) return passing;
      const again = rest.map((line) => judge(where, rest, line, base));
      const settled = again.filter((j) => j !== null).filter((j) => j.settled);
      if (settled.length === rest.length) return settled;
      lines = rest;
    }
    const strongest = strongestLine(lines);
    const unsettled = judged[lines.indexOf(strongest)] ?? judge(where, lines, strongest, base);
    if (unsettled) widest = { ...unsettled, settled: false };
    const delay = delayFor(where.search, strongest.alpha);
    const later = refit(where, lines, base + delay, base);
    if (later === null || later.length === 0) break;
    lines = later;
    base += delay;
  }
  return widest ? [widest] : [];
}

/** Compares a line with the fit from a later start; null when nothing of it is left to fit there. */
function judge(where: Neighbourhood, lines: Line[], line: Line, base: number): StableLine | null {
  const delay = delayFor(where.search, line.alpha);
  const alive = lines.filter((l) => l === line || l.rho * Math.exp(-2 * l.alpha * delay) > ALIVE_RHO);
  const late = refit(where, alive, base + delay, base);
  const twin = late?.[alive.indexOf(line)];
  if (!twin || !Number.isFinite(twin.sdOmega)) return null;
  const dOmega = twin.omega - line.omega;
  const dAlpha = twin.alpha - line.alpha;
  const sd = twin.sdOmega;
  const expected = Math.sqrt(linePower(line)) * Math.exp(-line.alpha * delay);
  const fall = Math.abs(Math.log(Math.sqrt(linePower(twin)) / expected));
  const settled =
    Math.abs(dOmega) < 3 * sd + 0.1 * line.alpha &&
    Math.abs(dAlpha) < 3 * twin.sdAlpha + 0.1 * line.alpha &&
    fall < 3 * twin.sdLogAmplitude + 0.2 &&
    twin.rho > ALIVE_RHO;
  // Scatter beyond what the later fit's own error explains is error that the model does not know of.
  const beyond = (d: number) => Math.max(0, Math.abs(d) - 2 * sd);
  return {
    line,
    delayS: base,
    early: { line, delayS: base },
    sdOmega: Math.hypot(line.sdOmega, beyond(dOmega)),
    sdAlpha: Math.hypot(line.sdAlpha, beyond(dAlpha)),
    settled,
    seenIn: settled
      ? [`the ring from ${delay < 1 ? `${Math.round(delay * 1000)} ms` : `${delay.toFixed(1)} s`} later`]
      : [],
  };
}

/** Fits clones of the given lines (valid at `from`) at the start `at`; every line outside the neighbourhood is taken off. */
function refit(where: Neighbourhood, lines: Line[], at: number, from = at): Line[] | null {
  const late = where.lateSearch(at);
  if (late === null) return null;
  const own = lines.map((l) => movedLine(l, at - from));
  const whole = late.lines;
  late.lines = [...whole.filter((_, i) => !where.members.has(i)), ...own];
  fitNeighbourhood(late, own, false);
  late.lines = whole;
  return own;
}

/** A third of the decay time constant, on a grid of halving delays so that transforms are shared; less on a short record. */
function delayFor(search: Search, alpha: number): number {
  const lengthS = search.ladder[0].size / search.sampleRateHz;
  const wanted = Math.min(DELAY_DECAYS / Math.max(alpha, 1e-3), lengthS / 3);
  return 0.01 * 2 ** Math.round(Math.log2(wanted / 0.01) - 0.25);
}

function strongestLine(lines: Line[]): Line {
  return lines.reduce((a, b) => (b.rho > a.rho ? b : a));
}

export function cloneLine(line: Line): Line {
  return { ...line, cRe: line.cRe.slice(), cIm: line.cIm.slice() };
}

/** The same line with its coefficients at a later start: c exp((-alpha + j omega) t). */
export function movedLine(line: Line, byS: number): Line {
  const moved = cloneLine(line);
  const fall = Math.exp(-line.alpha * byS);
  const turn = line.omega * byS;
  for (let c = 0; c < line.cRe.length; c++) {
    const a = line.cRe[c] * fall;
    const b = line.cIm[c] * fall;
    moved.cRe[c] = a * Math.cos(turn) - b * Math.sin(turn);
    moved.cIm[c] = a * Math.sin(turn) + b * Math.cos(turn);
  }
  return moved;
}
