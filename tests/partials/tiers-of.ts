import type { Line } from "../../src/partials/line.ts";
import type { Tier } from "../../src/partials/tracks.ts";
import { lineOf } from "./lines.ts";

export const RECORD_S = 6;
export const DELAYS_S = [0.03, 0.1, 0.2, 0.4, 0.8];

/** A line as searches from later starts see it: the amplitude falls as its decay rate says. */
export function seenAt(delayS: number, frequencyHz: number, alpha: number, change: Partial<Line> = {}): Line {
  return lineOf({ frequencyHz, alpha, cRe: Float64Array.of(0.1 * Math.exp(-alpha * delayS)), ...change });
}

export const tiersOf = (linesAt: (delayS: number, start: number) => Line[]): Tier[] =>
  DELAYS_S.map((delayS, start) => ({ delayS, lines: linesAt(delayS, start) }));
