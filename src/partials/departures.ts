import type { Line } from "./line.ts";

/** A swinging bell smears its lines by up to this part of their frequency (walking speed over the speed of sound). */
const SMEAR_REACH = 0.006;
const WEAKEST_SMEAR_RHO = 50;
/** The members of a doublet decay alike; rates that differ by more are those of two things. */
const OTHER_RATE = 1.6;

/**
 * The part of the strong neighbourhoods in which lines lie within a linewidth of one another yet decay 1.6 to 12 times as
 * fast: so a gliding frequency looks to a sum of damped lines, and the members of a doublet never do. `errors`: how many
 * standard errors of the rates are allowed for.
 */
export function smearedShare(groups: Line[][], errors: number): number {
  let strong = 0;
  let smeared = 0;
  for (const group of groups) {
    if (Math.max(...group.map((l) => l.rho)) < 300) continue;
    strong++;
    // What is too weak to be listed is not yet a member of anything.
    const listed = group.filter((l) => l.rho > WEAKEST_SMEAR_RHO);
    if (listed.some((a) => listed.some((b) => isSmear(a, b, errors)))) smeared++;
  }
  return strong ? smeared / strong : 0;
}

function isSmear(slow: Line, fast: Line, errors: number): boolean {
  if (Math.abs(fast.omega - slow.omega) >= 3 * fast.alpha || fast.alpha >= 12 * slow.alpha) return false;
  return fast.alpha - errors * fast.sdAlpha > OTHER_RATE * (slow.alpha + errors * slow.sdAlpha);
}

/**
 * Where the decay departs from an exponential, what lies within half a linewidth of a line, or within one and a half (or
 * within the reach of a moving bell's glide) and decays at another rate, is that line's own departure: misfit hides such
 * splits, and the members of a doublet decay alike. The stronger one stays.
 */
export function withoutDepartures<T>(lines: T[], lineOf: (t: T) => Line, strength: (t: T) => number): T[] {
  const kept: T[] = [];
  for (const candidate of [...lines].sort((a, b) => strength(b) - strength(a))) {
    if (!kept.some((k) => departsFrom(lineOf(k), lineOf(candidate)))) kept.push(candidate);
  }
  return kept;
}

/** Whether `other` is but the departure of the stronger line `kept` from an exponential. */
export function departsFrom(kept: Line, other: Line): boolean {
  const fast = Math.max(kept.alpha, other.alpha);
  const slow = Math.min(kept.alpha, other.alpha);
  if (Math.abs(kept.omega - other.omega) < fast) return true;
  return isPieceOf(kept, other) && fast > OTHER_RATE * slow;
}

/** As withoutDepartures where splits are resolved: only what decays at another rate than a stronger line beside it goes. */
export function withoutSmear<T>(lines: T[], lineOf: (t: T) => Line): T[] {
  return lines.filter((t) => {
    const line = lineOf(t);
    return !lines.some((other) => {
      const kept = lineOf(other);
      if (kept.rho <= line.rho) return false;
      const [slow, fast] = kept.alpha < line.alpha ? [kept, line] : [line, kept];
      return isPieceOf(kept, line) && isSmear(slow, fast, 0);
    });
  });
}

/**
 * Whether `other` may be but a piece of a line that is there: it lies where the line's own departure is found, within one and
 * a half linewidths, or the glide of a moving bell.
 */
export function isPieceOf(line: Line, other: Line): boolean {
  const reach = Math.max(3 * Math.max(line.alpha, other.alpha), SMEAR_REACH * line.omega);
  return Math.abs(other.omega - line.omega) < reach;
}
