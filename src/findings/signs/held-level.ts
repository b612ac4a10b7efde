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
/** The curves are smoothed over windows that end before this. */
const FIRST_S = 0.08;
const SEEN_AGAIN = 0.5;

/**
 * Where a gain that moves bends the decay of all partials alike. The level of a partial that decays freely is a straight
 * line in dB, whatever its slope, so its bend (second difference) is nothing. A gain adds the same bend to every
 * partial; a room, a voice, a neighbour bends each its own way. The median over the partials counts, against their own
 * scatter. Split partials beat, so they are left out. A glide of the pitch bends the curves too, so it is not taken for a gain.
 *
 * @returns the largest bend shared, or null
 */
export function sharedBend(
  partials: readonly TapPartial[],
  curves: readonly RingDownCurve[],
  glidePercent: Estimate | null,
): SharedBend | null {
  if (glidePercent !== null) return null;
  const alone = curves.filter((c) => c.partial !== null && partials[c.partial]?.doublet === null);
  const end = Math.max(0, ...alone.map((c) => c.timeS.at(-1) ?? 0));
  let largest: SharedBend | null = null;
  for (const step of STEPS_S) {
    for (let t = FIRST_S; t + 2 * step <= end; t += SEEN_AGAIN * step) {
      const bends = alone.flatMap((c) => bendOf(c, t, step) ?? []);
      const found = shared(bends, t + step);
      if (found !== null && Math.abs(found.bendDb) > Math.abs(largest?.bendDb ?? 0)) largest = found;
    }
  }
  return largest;
}

function bendOf(curve: RingDownCurve, fromS: number, stepS: number): number | null {
  const least = curve.noiseDb + threshold("bendOverNoise");
  const levels = [0, 1, 2].map((i) => levelAt(curve, fromS + i * stepS));
  if (levels.some((level) => level === null || level < least)) return null;
  return levels[0]! - 2 * levels[1]! + levels[2]!;
}

/** Between two points of the curve; null outside it. */
function levelAt({ timeS, levelDb }: RingDownCurve, t: number): number | null {
  const next = timeS.findIndex((time) => time >= t);
  if (next <= 0) return null;
  const part = (t - timeS[next - 1]!) / (timeS[next]! - timeS[next - 1]!);
  return levelDb[next - 1]! + part * (levelDb[next]! - levelDb[next - 1]!);
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
