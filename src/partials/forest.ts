import type { Line } from "./line.ts";

/**
 * What departs from free decays leaves a forest: lines that come and go, at no frequencies of their own. A gain control makes
 * products of the partials, lossy coding noise around them. Whatever passes for a line by chance is one of many alike, so
 * it does not stand out of the others around it; a partial does.
 */

/** A line stands out when it has this many times the energy over the noise of any junk around it (10 dB). */
const CLEAR_OF = 10;

/** Whether no junk line within an octave of `line` comes within 10 dB of it. */
export function standsOut(line: Line, junk: Iterable<Line>): boolean {
  for (const j of junk) {
    const within = j.omega < 2 * line.omega && line.omega < 2 * j.omega;
    if (within && CLEAR_OF * j.rho > line.rho) return false;
  }
  return true;
}

/**
 * The candidates that stand out of the junk, in their order. The weakest is judged first, and what does not stand out joins
 * the junk: a forest grows up to the gap in level between it and the partials.
 */
export function overForest<T>(candidates: T[], junk: Line[], lineOf: (candidate: T) => Line): T[] {
  const below = [...junk];
  const kept = new Set<T>();
  for (const candidate of [...candidates].sort((a, b) => lineOf(a).rho - lineOf(b).rho)) {
    if (standsOut(lineOf(candidate), below)) kept.add(candidate);
    else below.push(lineOf(candidate));
  }
  return candidates.filter((c) => kept.has(c));
}
