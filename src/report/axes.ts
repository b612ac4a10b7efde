import type { AxisSpec, TickSpec } from "./chart-spec.ts";

/** 1, 2 and 5 times the powers of ten within [min, max], both positive. */
export function logSteps(min: number, max: number): number[] {
  const steps: number[] = [];
  for (let power = Math.floor(Math.log10(min)); power <= Math.ceil(Math.log10(max)); power++) {
    for (const lead of [1, 2, 5]) {
      const at = Number(`${lead}e${power}`);
      if (at >= min && at <= max) steps.push(at);
    }
  }
  return steps;
}

/** Marks of a frequency axis: hertz below 1000, kilohertz above. */
export function frequencyTicks(minHz: number, maxHz: number): TickSpec[] {
  return logSteps(minHz, maxHz).map((at) => ({ at, text: at >= 1000 ? `${at / 1000}k` : `${at}` }));
}

/** The next of 1, 2, 2.5, 5 times a power of ten at or above `size` > 0: a round half-width for an axis. */
export function roundUp(size: number): number {
  const power = 10 ** Math.floor(Math.log10(size));
  const lead = [1, 2, 2.5, 5, 10].find((each) => each * power >= size * (1 - 1e-9))!;
  return lead * power;
}

/** What a line may stand over the upper end of its axis, dB: less than its width is drawn. */
const OVER_DB = 1;

/** Beyond any sound, and any sample that a float holds; a level in a damaged file may lie farther. */
const FARTHEST_DB = 1000;
/** An axis of more than this is not one of sound, and keeps its marks few. */
const LONG_DB = 500;

/** A level axis that holds [low, high] dB: bounds on whole tens, marks every 10 or 20 dB, or 200 on a long one. */
export function levelAxis(title: string, lowDb: number, highDb: number): AxisSpec {
  const within = (levelDb: number): number => Math.max(-FARTHEST_DB, Math.min(FARTHEST_DB, levelDb));
  const min = Math.floor(within(lowDb) / 10) * 10;
  // Adding 0 makes a plain zero of the -0 that rounding up gives.
  const max = Math.max(Math.ceil((within(highDb) - OVER_DB) / 10) * 10 + 0, min + 10);
  const step = max - min > LONG_DB ? 200 : max - min > 50 ? 20 : 10;
  const ticks: TickSpec[] = [];
  for (let at = Math.ceil(min / step) * step; at <= max; at += step) {
    ticks.push({ at, text: `${at}`.replace("-", "\u2212") });
  }
  return { title, scale: "linear", min, max, ticks };
}

/** Smallest and largest of the finite numbers, or null when there is none. */
export function extent(values: Iterable<number>): [number, number] | null {
  let min = Number.POSITIVE_INFINITY;
  let max = Number.NEGATIVE_INFINITY;
  for (const value of values) {
    if (!Number.isFinite(value)) continue;
    if (value < min) min = value;
    if (value > max) max = value;
  }
  return min <= max ? [min, max] : null;
}
