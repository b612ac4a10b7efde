import { isPieceOf, smearedShare } from "./departures.ts";
import { findLines, settleLines } from "./find-lines.ts";
import { overForest } from "./forest.ts";
import type { MeasuredGlide } from "./glide.ts";
import type { Line } from "./line.ts";
import { neighbourhoods } from "./neighbourhood.ts";
import { refineStart } from "./refine-onset.ts";
import { lateSearches, type RingDown, type SearchOpener } from "./ring-down.ts";
import { isHeard, type Search } from "./search.ts";
import { movedLine, type StableLine, stabilise } from "./stabilise.ts";
import type { FreeStart } from "./start.ts";

/** The lines of a ring-down from one way of looking for them. */
export interface Estimated {
  lines: StableLine[];
  /** Sample from which the delays of the lines count. */
  startSample: number;
  freeDecay: boolean;
  tried: number;
  stopReason: string;
  /** A search whose noise is that of the residual. */
  search: Search | null;
  /** The part of the ring's energy over the noise that the lines leave over, at the start where they leave least. */
  leftShare: number;
  /** Lines that are none, where they make a forest. */
  junk: Line[];
  /** The glide that was taken off the time axis, or null. */
  glide: MeasuredGlide | null;
}

/** A line is listed when its matched-filter SNR is over this: below it even a perfect fit errs by more than its interval. */
export const LISTED_RHO = 50;
/** Less than this part of the lines settling means that they only stand in for something that is not a free decay. */
const SETTLED_SHARE = 0.7;
const CLOSING_PASS = 2;
/** So many lines that are none make a forest: in a hundred records of stationary noise a single one is found. */
const FOREST_SIZE = 4;
/** More than this part of the neighbourhoods smeared: a frequency that glides is being built from several lines. */
const SMEARED_SHARE = 0.35;
/** The rate of a weak member of a doublet is known to some tens of per cent: rates count as other beyond three errors each. */
const SMEAR_ERRORS = 3;

/**
 * The full search where the ring is a sum of free decays. The strongest lines already tell where the ring begins, so the
 * search is done once, from there; all lines together may correct the start. Null where the lines say that it is none.
 * Null too where the search does not end by itself: so many lines are noise that a coder or a gain makes of the partials, and
 * as a forest it would hide them. `strict`: rates that differ are other rates whatever their errors.
 */
export function freeEstimate(
  ring: RingDown,
  probed: FreeStart,
  open: SearchOpener,
  strict = false,
): Estimated | null {
  const fs = ring.sampleRateHz;
  const probedAt = probed.startSample;
  const refine = probedAt === ring.ringStartSample;
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
  // So much work is asked for by what is no sum of few lines, and the tests to come would ask for many times as much.
  if (stopReason === "work limit" || stopReason === "line limit") return null;
  settleLines(search);
  // After the backward test: what it takes out is no sign of anything.
  if (smearedShare(neighbourhoods(search), strict ? 0 : SMEAR_ERRORS) > SMEARED_SHARE) return null;
  const { lines: all } = search;
  const found = all.filter((l) => isHeard(search!, l.omega));
  const lines = stabilise(search, lateSearches(search, startSample, open));
  const settled = lines.filter((l) => l.settled && isHeard(search!, l.line.omega));
  if (settled.length < SETTLED_SHARE * found.length) return null;
  const junk = junkOf(found, settled);
  const outstanding = overForest(settled, junk, (l) => l.line);
  return {
    lines: outstanding,
    startSample,
    freeDecay: true,
    tried: all.length,
    stopReason,
    search,
    junk,
    leftShare: 0,
    glide: null,
  };
}

/** Lines that do not settle or are too weak to be listed, where they are many: stationary noise leaves hardly one. */
export function junkOf(found: Line[], settled: StableLine[]): Line[] {
  const listed = settled.map((l) => l.line).filter((l) => l.rho > LISTED_RHO);
  const junk = found.filter((l) => !listed.some((k) => isSame(k, l) || isLeftOf(k, l)));
  return junk.length >= FOREST_SIZE ? junk : [];
}

function isSame(settled: Line, found: Line): boolean {
  const slack = 0.5 * Math.min(settled.alpha, found.alpha) + 3 * found.sdOmega;
  return Math.abs(settled.omega - found.omega) < slack;
}

/** What a strong line leaves beside itself where it departs from an exponential by -20 dB is of no forest. */
function isLeftOf(strong: Line, found: Line): boolean {
  return found.rho > LISTED_RHO && strong.rho > 100 * found.rho && isPieceOf(strong, found);
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
