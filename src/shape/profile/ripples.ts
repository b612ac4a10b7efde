import type { Ripple } from "./profile.ts";
import { SLICES, sliceAngle } from "./slices.ts";

/** Counts of ridges that are looked for. */
const COUNTS = { from: 3, to: 40 };
/** A ripple stands out of what other counts show by this factor. */
const CLEAR = 5;
/** Of the least that is called off the wall. */
const LEAST = 0.15;

/**
 * What repeats around a wall: Fourier's sums over the slices, the rays' oblique way through the wall taken into account.
 * `off` holds each ray's distances off its mean, NaN where left out; amplitudes are in its units.
 */
export function ripplesOf(
  wall: "outer" | "inner",
  off: Float64Array[],
  points: [number, number][],
  eye: number,
  offWall: number,
): Ripple[] {
  const spectrum = Array.from({ length: COUNTS.to + 1 }, (_, count) => {
    if (count < COUNTS.from) return { count, size: 0, phase: 0 };
    let [re, im, weight] = [0, 0, 0];
    for (let i = 1; i < off.length - 1; i += 4) {
      const straight = squareness(points, i, eye);
      let [a, b, kept] = [0, 0, 0];
      for (let s = 0; s < SLICES; s++) {
        const value = off[i]![s]!;
        if (Number.isNaN(value)) continue;
        a += value * Math.cos(count * sliceAngle(s));
        b += value * Math.sin(count * sliceAngle(s));
        kept++;
      }
      re += (2 * straight * a) / kept;
      im -= (2 * straight * b) / kept;
      weight++;
    }
    return { count, size: Math.hypot(re, im) / weight, phase: Math.atan2(im, re) };
  });
  const usual = spectrum
    .slice(COUNTS.from)
    .map(({ size }) => size)
    .sort((a, b) => a - b)[(COUNTS.to - COUNTS.from) >> 1]!;
  return spectrum
    .filter(({ size }) => size > Math.max(CLEAR * usual, LEAST * offWall))
    .sort((a, b) => b.size - a.size)
    .slice(0, 3)
    .map(({ count, size, phase }) => ({ wall, count, amplitudeM: size, phaseRad: phase }));
}

/** Cosine between a ray and the wall's normal. */
function squareness(points: [number, number][], i: number, eye: number): number {
  const [dr, dz] = [points[i + 1]![0] - points[i - 1]![0], points[i + 1]![1] - points[i - 1]![1]];
  const [r, z] = [points[i]![0], points[i]![1] - eye];
  return Math.abs(r * dz - z * dr) / (Math.hypot(dr, dz) * Math.hypot(r, z));
}
