import { findLines, settleLines } from "./find-lines.ts";
import { type Line, linePower } from "./line.ts";
import { neighbourhoods } from "./neighbourhood.ts";
import { refineStart } from "./refine-onset.ts";
import { lateSearches, quietNoise, type RingDown, type SearchOpener, searchOpener } from "./ring-down.ts";
import type { Search } from "./search.ts";
import { cloneLine, movedLine, type StableLine, stabilise } from "./stabilise.ts";
import { type FreeStart, freeDecayStart } from "./start.ts";
import { stableOverStarts, type Tier } from "./tracks.ts";

export interface LineEstimate {
  lines: StableLine[];
  /** Sample from which the delays of the lines count. */
  startSample: number;
  freeDecay: boolean;
  tried: number;
  stopReason: string;
  noiseFrom: "before the strike" | "after the ring" | "the residual";
  /** A search whose noise is that of the residual. */
  search: Search | null;
}

/** Relative energy by which a ring that is not free decays departs from them (-17 dB): the allowance for misfit. */
const REAL_MISFIT = 0.02;
/** While the start is chosen, lines under this part of a neighbour's energy (-13 dB) count as its misfit. */
const PROBE_MISFIT = 0.05;
/** Starts of the stabilisation diagram, s after the earliest. */
const TIER_DELAYS_S = [0.03, 0.1, 0.2, 0.4, 0.8, 1.3];
/** Less than this part of the lines settling means that they only stand in for something that is not a free decay. */
const SETTLED_SHARE = 0.7;
const CLOSING_PASS = 2;
/** A swinging bell smears its lines by up to this part of their frequency (walking speed over the speed of sound). */
const SMEAR_REACH = 0.006;
/** More than this part of the neighbourhoods smeared: a frequency that glides is being built from several lines. */
const SMEARED_SHARE = 0.35;
const WEAKEST_SMEAR_RHO = 50;

/**
 * The damped lines of a ring-down that are stable between data that do not overlap.
 * 1. Find the earliest start from which the ring is a sum of free decays; search there, in full.
 * 2. Put the start where the model, extrapolated backwards, first explains the signal; search on from there.
 * 3. Keep what a later start has again (stabilise).
 * 4. Where there is no such start, or too little settles: searches from six starts without growth, an allowance for
 *    misfit around strong lines, and only lines that the starts agree upon (stableOverStarts).
 */
export function estimateLines(ring: RingDown): LineEstimate {
  const { noise, from } = quietNoise(ring);
  const fs = ring.sampleRateHz;
  const open = searchOpener(ring, noise);
  const probed = freeDecayStart((d) => open(ring.ringStartSample + Math.round(d * fs), PROBE_MISFIT));
  if (probed !== null) {
    const free = freeEstimate(ring, probed, open);
    if (free) return { ...free, noiseFrom: from };
  }
  return { ...tieredEstimate(ring, open), noiseFrom: from };
}

type Estimated = Omit<LineEstimate, "noiseFrom">;

/**
 * The full search where the ring is a sum of free decays. The strongest lines already tell where the ring begins, so the
 * search is done once, from there; all lines together may correct the start.
 */
function freeEstimate(ring: RingDown, probed: FreeStart, open: SearchOpener): Estimated | null {
  const fs = ring.sampleRateHz;
  const probedAt = ring.ringStartSample + Math.round(probed.delayS * fs);
  const refine = probed.delayS === 0;
  let startSample = refine ? refinedStart(ring, probed.lines, probedAt) : probedAt;
  let search = open(startSample, 0);
  if (search === null) return null;
  search.lines = probed.lines.map((l) => movedLine(l, (startSample - probedAt) / fs));
  let stopReason = findLines(search);
  if (refine && search.lines.length > 0) {
    const target = refinedStart(ring, search.lines, startSample);
    const again = isBetterStart(target - startSample, fs) ? open(target, 0) : null;
    if (again) {
      again.lines = search.lines.map((l) => movedLine(l, (target - startSample) / fs));
      again.noise = again.ladder.map(() => search!.noise[0]);
      search = again;
      startSample = target;
      stopReason = findLines(search, CLOSING_PASS);
    }
  }
  settleLines(search);
  // After the backward test: what it takes out is no sign of anything.
  if (smearedShare(neighbourhoods(search)) > SMEARED_SHARE) return null;
  const found = search.lines.length;
  const lines = stabilise(search, lateSearches(search, startSample, open));
  const settled = lines.filter((l) => l.settled);
  if (settled.length < SETTLED_SHARE * found) return null;
  return { lines: settled, startSample, freeDecay: true, tried: found, stopReason, search };
}

/** Where the model first explains the signal, and two samples; after a bounce nothing before the last contact may be used. */
function refinedStart(ring: RingDown, lines: Line[], startSample: number): number {
  const refined = refineStart(ring, lines, startSample) + 2;
  return ring.bounced ? Math.max(refined, ring.ringStartSample) : refined;
}

/** Samples before the ring poison the fit; a start late by half a millisecond costs a line of 40 /s two per cent. */
function isBetterStart(shift: number, sampleRateHz: number): boolean {
  return shift > 2 || shift < -0.0005 * sampleRateHz;
}

/**
 * The part of the strong neighbourhoods in which lines lie within a linewidth of one another yet decay 1.6 to 12 times as
 * fast: so a gliding frequency looks to a sum of damped lines, and the members of a doublet never do.
 */
function smearedShare(groups: Line[][]): number {
  let strong = 0;
  let smeared = 0;
  for (const group of groups) {
    if (Math.max(...group.map((l) => l.rho)) < 300) continue;
    strong++;
    // What is too weak to be listed is not yet a member of anything.
    const listed = group.filter((l) => l.rho > WEAKEST_SMEAR_RHO);
    if (listed.some((a) => listed.some((b) => isSmear(a, b)))) smeared++;
  }
  return strong ? smeared / strong : 0;
}

function isSmear(slow: Line, fast: Line): boolean {
  const ratio = fast.alpha / slow.alpha;
  return ratio > 1.6 && ratio < 12 && Math.abs(fast.omega - slow.omega) < 3 * fast.alpha;
}

/**
 * Where the decay departs from an exponential, what lies within half a linewidth of a line, or within one and a half (or
 * within the reach of a moving bell's glide) and decays at another rate, is that line's own departure: misfit hides such
 * splits, and the members of a doublet decay alike. The stronger one stays.
 */
function withoutDepartures<T>(lines: T[], lineOf: (t: T) => Line, strength: (t: T) => number): T[] {
  const kept: T[] = [];
  for (const candidate of [...lines].sort((a, b) => strength(b) - strength(a))) {
    if (!kept.some((k) => departsFrom(lineOf(k), lineOf(candidate)))) kept.push(candidate);
  }
  return kept;
}

function departsFrom(kept: Line, other: Line): boolean {
  const distance = Math.abs(kept.omega - other.omega);
  const fast = Math.max(kept.alpha, other.alpha);
  const slow = Math.min(kept.alpha, other.alpha);
  if (distance < fast) return true;
  return distance < Math.max(3 * fast, SMEAR_REACH * kept.omega) && fast > 1.6 * slow;
}

function tieredEstimate(ring: RingDown, open: SearchOpener): Estimated {
  const fs = ring.sampleRateHz;
  const recordS = (ring.endSample - ring.ringStartSample) / fs;
  const tiers: Tier[] = [];
  let tried = 0;
  let stopReason = "too short";
  let last: Search | null = null;
  for (const delayS of TIER_DELAYS_S) {
    if (delayS > 0.4 * recordS && tiers.length > 1) break;
    const search = open(ring.ringStartSample + Math.round(delayS * fs), REAL_MISFIT);
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
  // Strength late, when all has settled: the early part of a glide may be the louder.
  const lateS = tiers.at(-1)?.delayS ?? 0;
  const late = (l: StableLine) => 0.5 * Math.log(linePower(l.line)) - l.line.alpha * (lateS - l.delayS);
  const lines = withoutDepartures(stableOverStarts(tiers, recordS), (l) => l.line, late);
  return { lines, startSample: ring.ringStartSample, freeDecay: false, tried, stopReason, search: last };
}
