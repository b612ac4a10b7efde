import { departsFrom, isPieceOf, withoutDepartures } from "./departures.ts";
import { findLines, settleLines } from "./find-lines.ts";
import { standsOut } from "./forest.ts";
import type { Estimated } from "./free-estimate.ts";
import { type Line, linePower } from "./line.ts";
import type { RingDown, SearchOpener } from "./ring-down.ts";
import type { Search } from "./search.ts";
import { type SettledRing, settledRing } from "./settled-ring.ts";
import { cloneLine, type StableLine } from "./stabilise.ts";
import { goesOn, stableTracks, summarise, type Tier, type Track } from "./tracks.ts";

/** Relative energy by which a ring that is not free decays departs from them (-17 dB): the allowance for misfit. */
const REAL_MISFIT = 0.02;
/** Starts of the stabilisation diagram, s after the earliest. */
const DELAYS_S = [0.03, 0.1, 0.2, 0.4, 0.8, 1.3];

/**
 * The lines of a ring that is not free decays from its beginning.
 * 1. Where it settles to free decays later on, the full search from there says what lives so long.
 * 2. Searches from up to six starts before that, without growth and with an allowance for misfit around strong lines, say what
 *    dies earlier: lines that the starts agree upon. Beside a settled ring they must not end before their own decay ends
 *    them, and stand out of all that comes and goes; without one, true lines and pieces of them come and go as well.
 */
export function tieredEstimate(ring: RingDown, open: SearchOpener): Estimated {
  const recordS = (ring.endSample - ring.ringStartSample) / ring.sampleRateHz;
  const settled = settledRing(ring, open);
  const searched = searchTiers(ring, open, settled ? settled.delayS : 0.4 * recordS);
  const { tiers } = searched;
  const tracks = stableTracks(tiers, recordS);
  const lines = settled
    ? [...withEarly(settled.estimate.lines, tracks), ...earlyOnly(settled, tiers, tracks)]
    : lateFirst(tracks.map(summarise), tiers);
  return {
    lines,
    startSample: ring.ringStartSample,
    freeDecay: false,
    glide: null,
    tried: Math.max(searched.tried, settled?.estimate.tried ?? 0),
    stopReason: searched.stopReason,
    search: settled?.estimate.search ?? searched.last,
    junk: [],
  };
}

function searchTiers(ring: RingDown, open: SearchOpener, untilS: number) {
  const tiers: Tier[] = [];
  let tried = 0;
  let stopReason = "too short";
  let last: Search | null = null;
  for (const delayS of DELAYS_S) {
    if (delayS >= untilS && tiers.length > 1) break;
    const search = open(ring.ringStartSample + Math.round(delayS * ring.sampleRateHz), REAL_MISFIT);
    if (search === null) break;
    search.growing = false;
    stopReason = findLines(search);
    search.lines = withoutDepartures(
      search.lines,
      (l) => l,
      (l) => l.rho,
    );
    settleLines(search);
    tiers.push({ delayS, lines: search.lines.map(cloneLine) });
    tried = Math.max(tried, search.lines.length);
    last = search;
  }
  return { tiers, tried, stopReason, last };
}

/** The settled lines, their amplitude at the strike from the first start that has them. */
function withEarly(lines: StableLine[], tracks: Track[]): StableLine[] {
  return lines.map((stable) => {
    const track = tracks.find((t) => isSame(t.lines.at(-1)!, stable));
    if (!track) return stable;
    const { early, seenIn } = summarise(track);
    return { ...stable, early, seenIn: [...seenIn, ...stable.seenIn] };
  });
}

function isSame(line: Line, settled: StableLine): boolean {
  const slack = Math.max(0.5 * settled.line.alpha, 3 * Math.hypot(line.sdOmega, settled.sdOmega));
  return Math.abs(line.omega - settled.line.omega) < slack;
}

/** What has died before the ring settles. */
function earlyOnly(settled: SettledRing, tiers: Tier[], tracks: Track[]): StableLine[] {
  const known = settled.estimate.lines;
  const rest = tracks.filter((t) => {
    const line = t.lines.at(-1)!;
    return goesOn(t, tiers) && !known.some((k) => isSame(line, k) || departsFrom(k.line, line));
  });
  const lines = outstanding(
    rest,
    tiers,
    known.map((k) => k.line),
    settled.estimate.junk,
  );
  const early = (l: StableLine) => 0.5 * Math.log(linePower(l.line)) + l.line.alpha * l.delayS;
  return withoutDepartures(lines.map(summarise), (l) => l.line, early);
}

/** Strength late, when all has settled: the early part of a glide may be the louder. */
function lateFirst(lines: StableLine[], tiers: Tier[]): StableLine[] {
  const lateS = tiers.at(-1)?.delayS ?? 0;
  const late = (l: StableLine) => 0.5 * Math.log(linePower(l.line)) - l.line.alpha * (lateS - l.delayS);
  return withoutDepartures(lines, (l) => l.line, late);
}

/**
 * The tracks that, at more than half of the starts that have them, stand out of what comes and goes there: `others`, and lines
 * of no track that are no piece of a track or of a known line. What does not stand out joins them.
 */
function outstanding(tracks: Track[], tiers: Tier[], known: Line[], others: Line[]): Track[] {
  const held = [...known, ...tracks.flatMap((t) => t.lines)];
  const junk = new Map(
    tiers.map((tier) => [tier, [...others, ...tier.lines.filter((l) => !held.some((k) => isPieceOf(k, l)))]]),
  );
  const strength = (t: Track) => Math.max(...t.lines.map((l) => l.rho));
  const kept: Track[] = [];
  for (const track of [...tracks].sort((a, b) => strength(a) - strength(b))) {
    const clear = track.lines.filter((l, i) => standsOut(l, junk.get(track.tiers[i])!));
    if (2 * clear.length > track.lines.length) kept.push(track);
    else for (const [i, tier] of track.tiers.entries()) junk.get(tier)!.push(track.lines[i]);
  }
  return kept;
}
