import type { Estimate, RingDownCurve, TapPartial } from "../../measurement/index.ts";
import { median } from "../robust.ts";
import { threshold } from "../thresholds.ts";

/** A bend of the level that the partials share. */
export interface SharedBend {
  /** Seconds after the strike: the middle of three equally spaced times. */
  timeS: number;
  /** Level before and after, less twice that in the middle, dB; 0 for every free decay. */
  bendDb: number;
  /** Partials that show it, and those looked at. */
  shared: number;
  seen: number;
}

/** From one of the three times to the next, s. */
const STEPS_S = [0.1, 0.2, 0.4];
const SEEN_AGAIN = 0.5;
/** A fit that begins this soon has nothing but the blow before it. */
const JUST_AFTER_S = 0.05;
/** From the start of the fit on, s. */
const FIRST_S = 0.08;
/**
 * A neighbour nearer than this bends the curve of a partial: two running means pass it at -26 dB and more up to twice their
 * width, which is four linewidths of the partial, 4 Hz at least.
 */
const APART_LINEWIDTHS = 8;
const APART_HZ = 8;

/**
 * Where a gain that moves bends the decay of all partials alike. The level of a partial that decays freely is a straight
 * line in dB, whatever its slope, so its bend (second difference) is nothing, and that of beating lines is the model's. A gain
 * adds the same bend to every partial; a room, a voice, a neighbour bends each its own way. The median over the partials
 * counts, against their own scatter. Split partials and those with a neighbour close by beat, so they are left out. A glide
 * of the pitch bends the curves too, so it is not taken for a gain; what lies before the fit began, clipped or not, is not used.
 *
 * @param startS from the strike to the start of the fit
 * @returns the largest bend shared, or null
 */
export function sharedBend(
  partials: readonly TapPartial[],
  curves: readonly RingDownCurve[],
  glidePercent: Estimate | null,
  startS: number,
): SharedBend | null {
  if (glidePercent !== null) return null;
  const alone = curves.filter((c) => c.partial !== null && isAlone(partials, c.partial));
  const end = Math.max(0, ...alone.map((c) => c.timeS.at(-1) ?? 0));
  let largest: SharedBend | null = null;
  for (const step of STEPS_S) {
    for (let t = startS + FIRST_S; t + 2 * step <= end; t += SEEN_AGAIN * step) {
      const bends = alone.flatMap((c) => bendOf(c, t, step, startS) ?? []);
      const found = shared(bends, t + step);
      if (found !== null && Math.abs(found.bendDb) > Math.abs(largest?.bendDb ?? 0)) largest = found;
    }
  }
  return largest;
}

function isAlone(partials: readonly TapPartial[], i: number): boolean {
  const p = partials[i];
  if (p === undefined || p.doublet !== null) return false;
  // The linewidth is ln(1000) / (pi T60).
  const linewidthHz = Math.log(1000) / (Math.PI * p.decayTimeS.value);
  const apartHz = Math.max(APART_HZ, APART_LINEWIDTHS * linewidthHz);
  return partials.every((q) => q === p || Math.abs(q.frequencyHz.value - p.frequencyHz.value) > apartHz);
}

/** Bend of the level over that of the model. */
function bendOf(curve: RingDownCurve, fromS: number, stepS: number, startS: number): number | null {
  // The first time of a curve is half the window over which its points are smoothed: another blow, or clipping, reaches in so far.
  if (startS > JUST_AFTER_S && fromS < startS + (curve.timeS[0] ?? 0)) return null;
  const least = curve.noiseDb + threshold("bendOverNoise");
  const times = [0, 1, 2].map((i) => fromS + i * stepS);
  const levels = times.map((t) => valueAt(curve.timeS, curve.levelDb, t));
  const models = times.map((t) => valueAt(curve.timeS, curve.modelDb, t));
  if (levels.some((level) => level === null || level < least)) return null;
  const [first, middle, last] = levels.map((level, i) => level! - models[i]!);
  return first! - 2 * middle! + last!;
}

/** Between two points of a curve; null outside it. */
function valueAt(timeS: readonly number[], values: readonly number[], t: number): number | null {
  const next = timeS.findIndex((time) => time >= t);
  if (next <= 0) return null;
  const part = (t - timeS[next - 1]!) / (timeS[next]! - timeS[next - 1]!);
  return values[next - 1]! + part * (values[next]! - values[next - 1]!);
}

function shared(bends: number[], timeS: number): SharedBend | null {
  const bendDb = median(bends);
  if (bendDb === null || bends.length < threshold("bendPartials")) return null;
  const scatter = 1.4826 * median(bends.map((bend) => Math.abs(bend - bendDb)))!;
  const same = bends.filter(
    (bend) => Math.sign(bend) === Math.sign(bendDb) && Math.abs(bend) > Math.abs(bendDb) / 3,
  );
  const stands =
    Math.abs(bendDb) > threshold("bendLeast") &&
    Math.abs(bendDb) > threshold("bendScatter") * (scatter / Math.sqrt(bends.length)) &&
    same.length >= threshold("bendShare") * bends.length;
  return stands ? { timeS, bendDb, shared: same.length, seen: bends.length } : null;
}
