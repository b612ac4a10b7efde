import type { Estimate, RingDownCurve, StrikeInfo, TapPartial } from "../../measurement/index.ts";
import type { Measured } from "../finding.ts";
import { threshold } from "../thresholds.ts";
import { rmsAboutLine, sampleCurve } from "./courses.ts";

/** Partials whose levels move together. */
export interface HeldLevel {
  /** How many do. */
  together: number;
  /** How many of those followed could have shown it, these included. */
  asked: number;
}

/** The levels are compared at times this far apart, or at so many, whichever are fewer. */
const STEP_S = 0.05;
const MOST_TIMES = 240;
/** Two partials must be followed together for this long. */
const SPAN_S = 0.5;
/** After a bounce the rod stays near the bell for so long. */
const ROD_NEAR_S = 0.04;
/**
 * Two running means in a row over a width W lower a line that is off their middle by x / W by 20 log10 of (sin(pi x) / (pi x))^2: by 0.1 dB
 * at this x.
 */
const GLIDE_WIDTHS = 0.06;
/** What the curves of two partials differ by without any noise, for they are not equally smooth, dB. */
const SMOOTHED_DB = 0.1;
/** Mean square, in dB, of what noise at the power 1 does to the level of a line of the power 1: half of it lies across. */
const DB_SQUARED_PER_NOISE = (20 / Math.LN10) ** 2 / 2;

/** How far the level of a partial lies from its model, at times that all have in common. */
interface Course {
  /** A beat that is modelled a little wrong moves the level, gain or no gain. */
  isSplit: boolean;
  /** NaN where the partial cannot be followed. */
  overModelDb: Float64Array;
  /** Mean square of what noise and neighbours do to it, dB squared. */
  noiseDb2: Float64Array;
}

/**
 * Partials on which a gain that moves acts alike: what it adds in dB is the same for all of them at the same time, whatever
 * their decays. What remains of the level of each over its model is compared, less a straight line, which its own decay rate would take
 * up. Noise, a room, a voice, a neighbour moves each its own way; a blow or a click adds the same power, not the same dB.
 * The partial that most others go along with counts.
 *
 * @returns the partials that move together where they are enough, or null
 */
export function heldLevel({
  partials,
  curves,
  fit,
  strikes,
}: Pick<Measured, "partials" | "curves" | "strikes"> & { fit: Measured["fit"] | null }): HeldLevel | null {
  const startS = fit?.startAfterContactS ?? 0;
  const courses = coursesOf(
    partials,
    curves.ringDowns,
    fit?.glidePercent ?? null,
    freeFromS(strikes, startS),
  );
  const { stepS } = courses;
  let most: HeldLevel | null = null;
  for (const course of courses.list) {
    const held = followersOf(course, courses.list, Math.ceil(SPAN_S / stepS));
    const isHeld =
      held.together >= threshold("heldPartials") && held.together >= threshold("heldShare") * held.asked;
    if (isHeld && held.together > (most?.together ?? 0)) most = held;
  }
  return most;
}

/** Seconds after the first contact from which the ring of the curves is free of the rod and of clipping; the gain may be felt before the fit begins. */
function freeFromS(strikes: readonly StrikeInfo[], startS: number): number {
  const off = (s: StrikeInfo) => Math.abs(s.fitStartS - s.onsetS - startS);
  const [shown] = strikes.filter((s) => s.leftOut === null).toSorted((a, b) => off(a) - off(b));
  if (shown === undefined || shown.clipped) return startS;
  const last = shown.contactsS.at(-1) ?? shown.onsetS;
  return last > shown.onsetS ? Math.min(startS, last - shown.onsetS + ROD_NEAR_S) : 0;
}

function coursesOf(
  partials: readonly TapPartial[],
  ringDowns: readonly RingDownCurve[],
  glidePercent: Estimate | null,
  freeS: number,
): { list: Course[]; stepS: number } {
  const shown = ringDowns.flatMap((curve) => {
    const partial = curve.partial === null ? undefined : partials[curve.partial];
    if (partial === undefined || curve.timeS.length === 0) return [];
    return [{ curve, hz: partial.frequencyHz.value, isSplit: partial.doublet !== null }];
  });
  const endS = shown.reduce((end, { curve }) => Math.max(end, curve.timeS.at(-1)!), 0);
  const stepS = Math.max(STEP_S, endS / MOST_TIMES);
  const count = Math.floor(endS / stepS) + 1;
  const sampled = shown.map(({ curve }) => sampleCurve(curve, stepS, count));
  const glide = glidePercent === null ? 0 : (Math.abs(glidePercent.value) + glidePercent.ci95) / 100;
  const over = 10 ** (threshold("heldOverNoise") / 10);
  const list = shown.flatMap(({ curve, hz, isSplit }, i): Course[] => {
    // The first point of a curve lies half a window after the blow, and the window is two running means of that width.
    const widthS = curve.timeS[0]!;
    if (glide * hz * widthS > GLIDE_WIDTHS) return [];
    const passed = shown.map((other) => (other.curve === curve ? 0 : passes((other.hz - hz) * widthS)));
    const overModelDb = new Float64Array(count).fill(Number.NaN);
    const noiseDb2 = new Float64Array(count);
    for (let k = 0; k < count; k++) {
      const { level, model, seen } = sampled[i]!;
      if (k * stepS < freeS + widthS || !seen(k)) continue;
      let noise = 10 ** (curve.noiseDb / 10);
      for (let j = 0; j < shown.length; j++)
        if (passed[j]! > 0) noise += passed[j]! * 10 ** (sampled[j]!.level[k]! / 10);
      // Where the model has died away, what is left is something else.
      const least = 10 ** (Math.min(level[k]!, model[k]!) / 10);
      if (least < over * noise) continue;
      overModelDb[k] = level[k]! - model[k]!;
      noiseDb2[k] = DB_SQUARED_PER_NOISE * (noise / least);
    }
    return [{ isSplit, overModelDb, noiseDb2 }];
  });
  return { list, stepS };
}

/** Power that two running means in a row let through of a line so many of their widths' reciprocals away: the envelope of the lobes. */
const passes = (widths: number): number => Math.min(1, Math.abs(Math.PI * widths) ** -4);

/** How many go along with this partial, among those whose noise lets one see what it does. */
function followersOf(course: Course, among: readonly Course[], fewest: number): HeldLevel {
  const alike = threshold("heldAlike");
  const { length } = course.overModelDb;
  const weights = new Float64Array(length);
  const apart = new Float64Array(length);
  const held: HeldLevel = { together: 0, asked: 0 };
  for (const other of among) {
    let seen = 0;
    let sum = 0;
    let noise = 0;
    for (let k = 0; k < length; k++) {
      apart[k] = course.overModelDb[k]! - other.overModelDb[k]!;
      weights[k] = 0;
      if (Number.isNaN(apart[k]!)) continue;
      const variance = course.noiseDb2[k]! + other.noiseDb2[k]!;
      weights[k] = 1 / (variance + SMOOTHED_DB ** 2);
      noise += weights[k]! * variance;
      sum += weights[k]!;
      seen++;
    }
    if (seen < fewest) continue;
    const moved = rmsAboutLine(course.overModelDb, weights);
    if (moved < threshold("heldLeast") || Math.sqrt(noise / sum) > alike * moved) continue;
    const goesAlong = rmsAboutLine(apart, weights) < alike * moved;
    if (goesAlong) held.together++;
    if (goesAlong || !other.isSplit) held.asked++;
  }
  return held;
}
