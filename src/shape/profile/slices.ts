import type { Axis } from "./axis.ts";

/** Half planes through the axis; with no common factor of usual ridge counts, each ridge is met at another place of it. */
export const SLICES = 121;

/** Pieces of the section in each half plane, four numbers each: r, z, r, z; units of the mesh. */
export type Slices = number[][];

/** Corners in the frame of the axis: z along it. */
export function inAxisFrame(triangles: Float64Array, { point, along }: Axis): Float64Array {
  const [ax, ay, az] = along;
  // Any direction square to the axis will do for x.
  const [hx, hy, hz] = Math.abs(ax) < 0.7 ? [0, -az, ay] : [az, 0, -ax];
  const size = Math.hypot(hx, hy, hz);
  const [ux, uy, uz] = [hx / size, hy / size, hz / size];
  const [vx, vy, vz] = [ay * uz - az * uy, az * ux - ax * uz, ax * uy - ay * ux];
  const turned = new Float64Array(triangles.length);
  for (let i = 0; i < triangles.length; i += 3) {
    const [x, y, z] = [triangles[i]! - point[0], triangles[i + 1]! - point[1], triangles[i + 2]! - point[2]];
    turned[i] = x * ux + y * uy + z * uz;
    turned[i + 1] = x * vx + y * vy + z * vz;
    turned[i + 2] = x * ax + y * ay + z * az;
  }
  return turned;
}

export const sliceAngle = (slice: number): number => (2 * Math.PI * (slice + 0.381966)) / SLICES;

/** The section of the mesh in every half plane. */
export function slicesOf(corners: Float64Array): Slices {
  const slices: Slices = Array.from({ length: SLICES }, () => []);
  const step = (2 * Math.PI) / SLICES;
  for (let t = 0; t < corners.length; t += 9) {
    const first = Math.atan2(corners[t + 1]!, corners[t]!);
    let [low, high] = [0, 0];
    let last = 0;
    for (let k = 1; k < 3; k++) {
      last = turn(Math.atan2(corners[t + 3 * k + 1]!, corners[t + 3 * k]!) - first);
      low = Math.min(low, last);
      high = Math.max(high, last);
    }
    const whole = high - low > 0.9 * Math.PI;
    const from = whole ? 0 : Math.floor((first + low) / step) - 1;
    const to = whole ? SLICES - 1 : Math.ceil((first + high) / step) + 1;
    for (let s = from; s <= to; s++) {
      const slice = ((s % SLICES) + SLICES) % SLICES;
      cut(corners, t, sliceAngle(slice), slices[slice]!);
    }
  }
  return slices;
}

const turn = (angle: number): number => angle - 2 * Math.PI * Math.round(angle / (2 * Math.PI));

/** Adds the piece of a triangle that lies in a half plane, if any. */
function cut(corners: Float64Array, t: number, angle: number, into: number[]): void {
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  const ends: number[] = [];
  for (let k = 0; k < 3; k++) {
    const a = t + 3 * k;
    const b = t + 3 * ((k + 1) % 3);
    const sideA = c * corners[a + 1]! - s * corners[a]!;
    const sideB = c * corners[b + 1]! - s * corners[b]!;
    if (sideA >= 0 === sideB >= 0) continue;
    const part = sideA / (sideA - sideB);
    const rA = c * corners[a]! + s * corners[a + 1]!;
    const rB = c * corners[b]! + s * corners[b + 1]!;
    ends.push(rA + part * (rB - rA), corners[a + 2]! + part * (corners[b + 2]! - corners[a + 2]!));
  }
  if (ends.length !== 4 || (ends[0]! < 0 && ends[2]! < 0)) return;
  for (const [end, other] of [
    [0, 2],
    [2, 0],
  ] as const) {
    if (ends[end]! >= 0) continue;
    const part = ends[end]! / (ends[end]! - ends[other]!);
    ends[end + 1] = ends[end + 1]! + part * (ends[other + 1]! - ends[end + 1]!);
    ends[end] = 0;
  }
  into.push(...ends);
}
