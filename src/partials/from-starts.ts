import { departsFrom, withoutDepartures } from "./departures.ts";
import { raiseFloor, shareLeft } from "./energy-left.ts";
import { closeLines, findLines } from "./find-lines.ts";
import { type Estimated, freeEstimate } from "./free-estimate.ts";
import { withLateScatter } from "./late-scatter.ts";
import { type Line, linePower } from "./line.ts";
import type { RingDown, SearchOpener } from "./ring-down.ts";
import type { Search } from "./search.ts";
import { withoutSidebands } from "./sidebands.ts";
import { cloneLine, movedLine, type StableLine } from "./stabilise.ts";
import { freeDecayShare, freeDecayStart } from "./start.ts";
import { errorSize, stableTracks, summarise, type Tier, type Track } from "./tracks.ts";

/** Relative energy by which a line may depart from an exponential (-17 dB): beside it, weaker lines must explain more than that. */
const REAL_MISFIT = 0.02;
/** Starts, s after the earliest usable sample: each two and a half times the one before, as the departures die away. */
const STARTS_S = [0.03, 0.08, 0.2, 0.5, 1.2, 3, 7];
/** So much of the ring must be left after a start. */
const LEAST_LEFT = 0.4;
const ALIVE_RHO = 12;
/** Steps of a fit while lines are looked for: they are fitted again and again. */
const SEARCH_STEPS = 12;
const CLOSING_STEPS = 40;
const EARLIEST_SETTLED_S = 0.2;
/** A start is worth the probe for free decays when its strongest lines, as they are, leave less than this part of their energy (-17 dB): doublets may still hide in them. */
const HOPEFUL_SHARE = 0.02;
/** A full search that wants more than this (FitScratch.work) is not one of free decays: those end at a tenth of it. */
const MOST_WORK = 3e7;

/** A line must have this many times the energy over the noise of what comes and goes (10 dB) within this part of its frequency. */
const CLEAR_OF = 10;
const BESIDE = 0.03;

/** What disturbs a ring has lines too, as a room has its own: those of the bell are still there so long after, s. */
const OUTLASTING_S = 0.2;

/** So many of the strongest lines that three starts have are asked whether they move together; fewer than three say nothing. */
const MOST_MOVING = 8;
const FEWEST_MOVING = 3;
const FEWEST_STARTS = 3;
const MOVED_ERRORS = 2;
const MOVING_SHARE = 0.7;
/** A start before this looks at so much of a long ring only, s: it is there for what dies early. */
const EARLY_S = 0.4;
const EARLY_LASTS_S = 8;

/** What the starts of one ring show. */
interface Searched {
  tiers: Tier[];
  tried: number;
  stopReason: string;
  last: Search | null;
  /** See Estimated. */
  leftShare: number;
  /** The full search from the first start from which it holds, or null. */
  settled: Estimated | null;
}

/**
 * The lines of a ring that is no sum of free decays from its beginning: each is looked for from several starts, and taken from that
 * which tells it best. What disturbs a ring (the blow, the room, a bell that moves) dies away, and so do the fast partials: a slow
 * one is best known late, a fast one early. Where the ring settles to free decays, the full search from there is one more such start.
 */
export function fromStarts(ring: RingDown, open: SearchOpener): Estimated & { movesTogether: boolean } {
  const recordS = (ring.endSample - ring.ringStartSample) / ring.sampleRateHz;
  const { tiers, tried, stopReason, last, leftShare, settled } = searchStarts(ring, open);
  const tracks = stableTracks(tiers, recordS);
  const tracked = withoutSidebands(lateFirst(outstanding(tracks, tiers).map(summarise), tiers));
  return {
    lines: settled ? withSettled(tracked, settled, ring, open) : tracked,
    startSample: ring.ringStartSample,
    freeDecay: false,
    glide: null,
    tried: Math.max(tried, settled?.tried ?? 0),
    stopReason,
    search: settled?.search ?? last,
    junk: [],
    leftShare,
    movesTogether: movesTogether(tracks),
  };
}

/**
 * The tracks that, at half of the starts that have them or more, stand out of what comes and goes beside them: lossy coding and a
 * gain that moves leave many lines alike, at no frequencies of their own. What is left of a strong line beside it is no such line.
 */
function outstanding(tracks: Track[], tiers: Tier[]): Track[] {
  const held = tracks.flatMap((t) => t.lines);
  const strays = new Map(
    tiers.map((tier) => [tier, tier.lines.filter((l) => !held.some((k) => departsFrom(k, l)))]),
  );
  const least = Math.min(OUTLASTING_S, tiers.at(-1)?.delayS ?? 0);
  return tracks.filter(({ tiers: seen, lines }) => {
    if (seen[seen.length - 1].delayS < least) return false;
    const clear = lines.filter((l, i) =>
      strays.get(seen[i])!.every((s) => !isBeside(l, s) || l.rho > CLEAR_OF * s.rho),
    );
    return 2 * clear.length >= lines.length;
  });
}

const isBeside = (line: Line, stray: Line): boolean =>
  Math.abs(stray.omega - line.omega) < BESIDE * line.omega;

/** Whether the strong lines go the same way in frequency from their first start to their last: only then may one glide be common to all. */
function movesTogether(tracks: Track[]): boolean {
  const ways = tracks
    .filter((t) => t.tiers.length >= FEWEST_STARTS)
    .sort((a, b) => b.lines[0].rho - a.lines[0].rho)
    .slice(0, MOST_MOVING)
    .map(({ lines }) => wayOf(lines[0], lines[lines.length - 1]));
  const sum = Math.abs(ways.reduce((a, b) => a + b, 0));
  return ways.length >= FEWEST_MOVING && sum >= MOVING_SHARE * ways.length;
}

/** 1 where the frequency falls from the first start to the last by more than its errors, -1 where it rises, else 0. */
function wayOf(first: Line, last: Line): number {
  const moved = first.omega - last.omega;
  return Math.abs(moved) > MOVED_ERRORS * Math.hypot(first.sdOmega, last.sdOmega) ? Math.sign(moved) : 0;
}

/** What each start shows; the lines of one go on to the next, which drops what is gone and adds what was hidden. */
function searchStarts(ring: RingDown, open: SearchOpener): Searched {
  const recordS = (ring.endSample - ring.ringStartSample) / ring.sampleRateHz;
  const found: Searched = {
    tiers: [],
    tried: 0,
    stopReason: "too short",
    last: null,
    leftShare: 1,
    settled: null,
  };
  const { tiers } = found;
  for (const delayS of STARTS_S) {
    if (delayS > (1 - LEAST_LEFT) * recordS && tiers.length > 1) break;
    const startSample = ring.ringStartSample + Math.round(delayS * ring.sampleRateHz);
    const early = startSample + Math.round(EARLY_LASTS_S * ring.sampleRateHz);
    const search = open(
      startSample,
      REAL_MISFIT,
      delayS < EARLY_S ? Math.min(early, ring.endSample) : ring.endSample,
    );
    if (search === null) break;
    search.growing = false;
    raiseFloor(search);
    const before = tiers.at(-1);
    if (before) {
      const byS = delayS - before.delayS;
      search.lines = before.lines
        .filter((l) => l.rho * Math.exp(-2 * l.alpha * byS) > ALIVE_RHO)
        .map((l) => movedLine(l, byS));
    }
    search.iterations = SEARCH_STEPS;
    found.stopReason = findLines(search);
    search.lines = withoutDepartures(
      search.lines,
      (l) => l,
      (l) => l.rho,
    );
    search.iterations = CLOSING_STEPS;
    closeLines(search);
    tiers.push({ delayS, lines: search.lines.map(cloneLine) });
    found.tried = Math.max(found.tried, search.lines.length);
    found.last = search;
    if (delayS < EARLY_S) found.leftShare = Math.min(found.leftShare, shareLeft(search));
    if (found.settled === null && delayS >= EARLIEST_SETTLED_S && freeDecayShare(search) < HOPEFUL_SHARE) {
      const probed = freeDecayStart(startSample, open);
      found.settled = probed && freeEstimate(ring, probed, limited(open), true);
    }
  }
  return found;
}

function limited(open: SearchOpener): SearchOpener {
  return (startSample, misfit, endSample) => {
    const search = open(startSample, misfit, endSample);
    if (search) search.workLimit = MOST_WORK;
    return search;
  };
}

/**
 * Of a line that both have the one with the smaller error, its amplitude at the strike from the earlier start; and what only one of
 * them has, but for what the settled ring shows to be the departure of another line.
 */
function withSettled(
  tracked: StableLine[],
  settled: Estimated,
  ring: RingDown,
  open: SearchOpener,
): StableLine[] {
  const delayS = (settled.startSample - ring.ringStartSample) / ring.sampleRateHz;
  const late = settled.lines.map(withLateScatter(settled, open)).map((l) => ({
    ...l,
    delayS: l.delayS + delayS,
    early: { line: l.early.line, delayS: l.early.delayS + delayS },
  }));
  const twins = new Map<StableLine, StableLine>();
  for (const line of late) {
    const free = tracked.filter((t) => !twins.has(t) && isSame(t, line));
    const twin = free.reduce<StableLine | null>(
      (a, b) => (a && distance(a, line) < distance(b, line) ? a : b),
      null,
    );
    if (twin) twins.set(twin, line);
  }
  const both = [...twins].map(([track, line]) => {
    const better = errorSize(line) < errorSize(track) ? line : track;
    return { ...better, early: track.early, seenIn: [...track.seenIn, ...line.seenIn] };
  });
  const taken = new Set(twins.values());
  const rest = tracked.filter((t) => !twins.has(t) && !late.some((l) => departsFrom(l.line, t.line)));
  return [...both, ...late.filter((l) => !taken.has(l)), ...rest];
}

function isSame(a: StableLine, b: StableLine): boolean {
  return distance(a, b) < Math.max(0.5 * b.line.alpha, 3 * Math.hypot(a.sdOmega, b.sdOmega));
}

function distance(a: StableLine, b: StableLine): number {
  return Math.abs(a.line.omega - b.line.omega);
}

/** Strength late, when all has settled: the early part of a glide may be the louder. */
function lateFirst(lines: StableLine[], tiers: Tier[]): StableLine[] {
  const lateS = tiers.at(-1)?.delayS ?? 0;
  const late = (l: StableLine) => 0.5 * Math.log(linePower(l.line)) - l.line.alpha * (lateS - l.delayS);
  return withoutDepartures(lines, (l) => l.line, late);
}
