import type { Line } from "./line.ts";
import { linePower } from "./line.ts";
import type { StableLine } from "./stabilise.ts";

/** The lines found from one start, in a search of its own. */
export interface Tier {
  delayS: number;
  lines: Line[];
}

/** One line as the starts that have it see it. */
export interface Track {
  tiers: Tier[];
  lines: Line[];
}

/** Matched-filter SNR over the misfit that a line must have to be compared between starts. */
const CLEAR_RHO = 25;
/** Between two starts a gliding frequency may move by this part of itself. */
const DRIFT = 7e-4;
/** The starts of a track must lie this many decay constants apart, or this part of the record: else they share their data. */
const SPAN_DECAYS = 0.25;
const SPAN_RECORD = 0.2;
/** Rates of one line that two starts see differ by this part at the most, beyond their errors. */
const OTHER_DECAY = 0.5;
/** Errors of a rate count up to this part of it: else a line that is hardly known would be taken for any. */
const KNOWN_DECAY = 0.1;
/** Rates under this, 1/s (T60 of 23 s), are hardly told apart within a record. */
const SLOW_PER_S = 0.3;
/** Of what two starts differ by, so much is left at the later one: a departure falls to two fifths from one start to the next. */
const REMAINING = 0.7;

/**
 * The stabilisation diagram over starts for a ring that is not a sum of free decays: searches from different starts, that
 * know nothing of one another, must show a line at the same frequency and decay rate, its amplitude falling as it says.
 */
export function stableTracks(tiers: Tier[], recordS: number): Track[] {
  const open: Track[] = [];
  for (const tier of tiers) {
    const clear = tier.lines
      .filter((l) => l.rho / Math.max(1, l.chi) > CLEAR_RHO)
      .sort((a, b) => b.rho - a.rho);
    const taken = new Set<Track>();
    for (const line of clear) {
      const track = bestTrack(open, taken, tier, line);
      if (track) {
        track.tiers.push(tier);
        track.lines.push(line);
        taken.add(track);
      } else {
        const opened = { tiers: [tier], lines: [line] };
        open.push(opened);
        // A second line of this start, however near, is not the first one going on.
        taken.add(opened);
      }
    }
  }
  return open.filter((t) => spansEnough(t, recordS));
}

function bestTrack(open: Track[], taken: Set<Track>, tier: Tier, line: Line): Track | null {
  let best: Track | null = null;
  let nearest = Number.POSITIVE_INFINITY;
  for (const track of open) {
    if (taken.has(track)) continue;
    const before = track.lines.at(-1)!;
    if (!continues(before, track.tiers.at(-1)!, line, tier)) continue;
    // Two lines may lie close; the one that decays alike is the same one.
    const distance =
      Math.abs(line.omega - before.omega) / Math.max(line.alpha, before.alpha) +
      Math.abs(Math.log(line.alpha / before.alpha));
    if (distance < nearest) {
      nearest = distance;
      best = track;
    }
  }
  return best;
}

function continues(before: Line, from: Tier, line: Line, to: Tier): boolean {
  const dt = to.delayS - from.delayS;
  const alpha = Math.max(before.alpha, line.alpha);
  const sdAlpha = Math.hypot(line.sdAlpha, before.sdAlpha);
  const dOmega = Math.abs(line.omega - before.omega);
  if (dOmega > 3 * Math.hypot(line.sdOmega, before.sdOmega) + 0.3 * alpha + DRIFT * line.omega) return false;
  const doubt = 3 * Math.min(sdAlpha, KNOWN_DECAY * alpha);
  if (Math.abs(line.alpha - before.alpha) > doubt + OTHER_DECAY * alpha + SLOW_PER_S) return false;
  const fall = 0.5 * Math.log(linePower(before) / linePower(line));
  const expected = 0.5 * (before.alpha + line.alpha) * dt;
  const sd = Math.hypot(line.sdLogAmplitude, before.sdLogAmplitude, sdAlpha * dt);
  return Math.abs(fall - expected) < 3 * Math.min(sd, 0.5) + 0.4;
}

function spansEnough(track: Track, recordS: number): boolean {
  const span = track.tiers.at(-1)!.delayS - track.tiers[0].delayS;
  const alpha = medianOf(track.lines.map((l) => l.alpha));
  return span >= Math.min(SPAN_DECAYS / alpha, SPAN_RECORD * recordS);
}

/**
 * The values of the start that tells the line best: what disturbs a ring dies away, and so does the line. The error of a start is
 * its own, and what later starts differ by beyond chance. Its amplitude is that of the first start, nearest to the strike.
 */
export function summarise(track: Track): StableLine {
  const { tiers, lines } = track;
  const errors = lines.map((_, at) => errorsFrom(lines, at));
  let best = 0;
  for (let at = 1; at < lines.length; at++) if (errorSize(errors[at]) < errorSize(errors[best])) best = at;
  return {
    line: lines[best],
    delayS: tiers[best].delayS,
    early: { line: lines[0], delayS: tiers[0].delayS },
    ...errors[best],
    settled: true,
    seenIn: tiers.map((t) => `the ring from ${Math.round(t.delayS * 1000)} ms`),
  };
}

type Errors = Pick<StableLine, "sdOmega" | "sdAlpha">;

/** One number for how well a line is known, rad/s. */
export function errorSize({ sdOmega, sdAlpha }: Errors): number {
  return Math.hypot(sdOmega, sdAlpha);
}

/**
 * Standard deviations at one start. Two starts of which one has all data of the other differ by chance by the difference of their
 * variances. What later ones differ by beyond it is error of this one. What the start before differs by has partly died away since.
 */
function errorsFrom(lines: Line[], at: number): Errors {
  const own = lines[at];
  let omega = 0;
  let alpha = 0;
  for (const later of lines.slice(at + 1)) {
    omega = Math.max(omega, beyondChance(own.omega - later.omega, own.sdOmega, later.sdOmega));
    alpha = Math.max(alpha, beyondChance(own.alpha - later.alpha, own.sdAlpha, later.sdAlpha));
  }
  if (at > 0) {
    const before = lines[at - 1];
    omega = Math.max(omega, REMAINING * beyondChance(own.omega - before.omega, before.sdOmega, own.sdOmega));
    alpha = Math.max(alpha, REMAINING * beyondChance(own.alpha - before.alpha, before.sdAlpha, own.sdAlpha));
  }
  return { sdOmega: Math.hypot(own.sdOmega, omega), sdAlpha: Math.hypot(own.sdAlpha, alpha) };
}

function beyondChance(difference: number, sd: number, sdOfLess: number): number {
  return Math.sqrt(Math.max(0, difference ** 2 - Math.max(0, sdOfLess ** 2 - sd ** 2)));
}

function medianOf(values: number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[sorted.length >> 1];
}
