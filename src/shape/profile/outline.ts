import { InvalidShapeError } from "../error.ts";
import type { WallLine } from "./profile.ts";

export type Point = [r: number, z: number];

/** Points beyond any drawing of a bell. */
export const MOST_POINTS = 200_000;
/** Nearer to the axis than this part of the mouth's radius is on it. */
const ON_AXIS = 1e-4;

/**
 * The two walls of a half section drawn as one closed line: parted at the lip, its lowest place, and at the crown, where it
 * leaves the axis or, in an open tube, at its highest. @throws InvalidShapeError
 */
export function wallsOfOutline(drawn: Point[]): { outer: WallLine; inner: WallLine } {
  let points = drawn.filter(([r, z], i) => {
    const [pr, pz] = drawn[(i + drawn.length - 1) % drawn.length]!;
    return r !== pr || z !== pz;
  });
  if (points.length < 4) {
    throw new InvalidShapeError("the half section needs four points or more; draw its whole outline");
  }
  const widest = Math.max(...points.map(([r]) => Math.abs(r)));
  if (points.every(([r]) => r <= ON_AXIS * widest)) points = points.map(([r, z]) => [-r, z]);
  const over = points.find(([r]) => r < -ON_AXIS * widest);
  if (over !== undefined) {
    throw new InvalidShapeError(
      `the half section crosses the axis, x = 0, at height ${(1000 * over[1]).toFixed(1)} mm; draw one half, the axis at x = 0`,
    );
  }
  points = points.map(([r, z]) => [r <= ON_AXIS * widest ? 0 : r, z]);
  const heights = points.map(([, z]) => z);
  const middle = (Math.min(...heights) + Math.max(...heights)) / 2;
  const onAxis = points.filter(([r]) => r === 0);
  if (onAxis.length > 0 && onAxis.every(([, z]) => z < middle)) points = points.map(([r, z]) => [r, -z]);
  const count = points.length;
  const start = points.findIndex(([r], i) => r === 0 && points[(i + 1) % count]![0] > 0);
  const begin = start >= 0 ? start : highest(points);
  const around = points.map((_, i) => points[(begin + i) % count]!);
  // The axis itself is no wall.
  const line = start >= 0 ? around.slice(0, 1 + lastOff(around)) : [...around, around[0]!];
  if (start >= 0) line.push(around[(1 + lastOff(around)) % count]!);
  const lip = line.reduce((best, [r, z], i) => {
    const [br, bz] = line[best]!;
    return z < bz || (z === bz && r > br) ? i : best;
  }, 0);
  const [one, other] = [line.slice(0, lip + 1), line.slice(lip).reverse()];
  if (one.length < 2 || other.length < 2) {
    throw new InvalidShapeError("the half section has one wall only; draw the outline closed, mouth down");
  }
  const [outer, inner] = outward(one) > outward(other) ? [one, other] : [other, one];
  return { outer: wallLine(outer), inner: wallLine(inner) };
}

export function wallLine(points: readonly Point[]): WallLine {
  return { rM: Float64Array.from(points, ([r]) => r), zM: Float64Array.from(points, ([, z]) => z) };
}

function highest(points: Point[]): number {
  return points.reduce((best, [r, z], i) => {
    const [br, bz] = points[best]!;
    return z > bz || (z === bz && r > br) ? i : best;
  }, 0);
}

/** The last place that is off the axis. */
function lastOff(around: Point[]): number {
  let last = around.length - 1;
  while (last > 0 && around[last]![0] === 0) last--;
  return last;
}

/** Twice the area between a wall and the axis, as turned: the larger, the farther out. */
function outward(line: Point[]): number {
  let area = 0;
  for (let i = 1; i < line.length; i++) {
    area += (line[i]![0] + line[i - 1]![0]) * (line[i - 1]![1] - line[i]![1]);
  }
  return area;
}
