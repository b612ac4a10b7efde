import { InvalidShapeError } from "../error.ts";
import { axisOf } from "./axis.ts";
import type { Profile, ProfileNote, Ripple, WallLine } from "./profile.ts";
import { ripplesOf } from "./ripples.ts";
import { inAxisFrame, type Slices, slicesOf } from "./slices.ts";

/** Rays from a point of the axis to the walls, half a turn of them. */
const RAYS = 1440;
/** Crossings that lie off the others around by more than this many usual deviations are a lug's, a loop's or a letter's. */
const OUTLYING = 6;
/** Nor is anything called so that lies off by less than this part of the mouth's radius. */
const LEAST_OFF = 0.003;
/** A crown this many times as thick as the wall beside it, and nowhere else, carries a stem. */
const STEM = 2.5;
/** Lines are kept to within this part of the mouth's radius with as few points as will do. */
const KEPT = 5e-5;

interface Ray {
  readonly inner: number;
  readonly outer: number;
  /** Off the mean in each slice; NaN where left out. */
  readonly innerOff: Float64Array;
  readonly outerOff: Float64Array;
  readonly leftOut: number;
}

/** The mean walls of a 3D pattern, what repeats around them, and what was left out. @throws InvalidShapeError */
export function profileOfMesh(triangles: Float64Array, metresPerUnit: number): Omit<Profile, "sizeOf"> {
  const corners = upright(inAxisFrame(triangles, axisOf(triangles)));
  const slices = slicesOf(corners);
  const lowest = middleOf(slices.map((pieces) => least(pieces)));
  const highest = -middleOf(slices.map((pieces) => least(pieces.map((value) => -value))));
  let radius = 0;
  for (let i = 0; i < corners.length; i += 3) {
    radius = Math.max(radius, Math.hypot(corners[i]!, corners[i + 1]!));
  }
  const eye = lowest + 0.25 * (highest - lowest);
  if (!(highest > lowest) || !Number.isFinite(eye)) {
    throw new InvalidShapeError("the mesh has no body that goes around its axis; give the pattern of a bell");
  }
  const rays = longestRun(raysOf(slices, eye, radius));
  if (rays.length < RAYS / 20) {
    throw new InvalidShapeError(
      "no hollow with a wall around it was found in the mesh; give the whole pattern, inner wall too",
    );
  }
  const stem = stemRays(rays, radius);
  const at = (i: number, far: number): [number, number] => [
    far * Math.sin(rays[i]!.angle),
    eye + far * Math.cos(rays[i]!.angle),
  ];
  const far = rays.map(({ ray }, i) =>
    i < stem ? ray.inner + rays[stem]!.ray.outer - rays[stem]!.ray.inner : ray.outer,
  );
  const inner = rays.map(({ ray }, i) => at(i, ray.inner));
  const outer = far.map((distance, i) => at(i, distance));
  // Closed at the crown: the first ray stands as good as on the axis.
  if (rays[0]!.angle < (2 * Math.PI) / RAYS) {
    inner.unshift([0, inner[0]![1]]);
    outer.unshift([0, outer[0]![1]]);
  }
  const line = (points: [number, number][]): WallLine => {
    const few = fewest(points, KEPT * radius);
    return {
      rM: Float64Array.from(few, ([r]) => metresPerUnit * r),
      zM: Float64Array.from(few, ([, z]) => metresPerUnit * (z - lowest)),
    };
  };
  const ripples = (["outer", "inner"] as const).flatMap((wall): Ripple[] =>
    ripplesOf(
      wall,
      rays.map(({ ray }) => (wall === "outer" ? ray.outerOff : ray.innerOff)),
      wall === "outer" ? outer.slice(-rays.length) : inner.slice(-rays.length),
      eye,
      LEAST_OFF * radius,
    ).map((ripple) => ({ ...ripple, amplitudeM: metresPerUnit * ripple.amplitudeM })),
  );
  const lugs = rays.flatMap(({ ray }, i) => (ray.leftOut > 0 ? [i] : []));
  const heights = lugs.map((i) => 1000 * metresPerUnit * (at(i, rays[i]!.ray.outer)[1] - lowest));
  const notes: ProfileNote[] = [
    ...(lugs.length === 0
      ? []
      : [{ code: "left-out", numbers: [Math.min(...heights), Math.max(...heights)] }]),
    ...(stem === 0 ? [] : [{ code: "stem", numbers: [1000 * metresPerUnit * outer[stem]![0]] }]),
  ];
  return { outer: line(outer), inner: line(inner), ripples, notes };
}

/** With the mouth, the wider end, below. */
function upright(corners: Float64Array): Float64Array {
  let [low, high] = [Infinity, -Infinity];
  for (let i = 2; i < corners.length; i += 3) {
    low = Math.min(low, corners[i]!);
    high = Math.max(high, corners[i]!);
  }
  let [below, above] = [0, 0];
  for (let i = 0; i < corners.length; i += 3) {
    const part = (corners[i + 2]! - low) / (high - low);
    const r = Math.hypot(corners[i]!, corners[i + 1]!);
    if (part < 0.15) below = Math.max(below, r);
    if (part > 0.85) above = Math.max(above, r);
  }
  if (above > below) for (let i = 2; i < corners.length; i += 3) corners[i] = -corners[i]!;
  return corners;
}

function least(pieces: number[]): number {
  let low = Infinity;
  for (let i = 1; i < pieces.length; i += 2) low = Math.min(low, pieces[i]!);
  return low;
}

function middleOf(values: number[]): number {
  return values.sort((a, b) => a - b)[values.length >> 1]!;
}

function raysOf(slices: Slices, eye: number, radius: number): (Ray | null)[] {
  const crossings: [near: Float64Array, far: Float64Array][] = Array.from({ length: RAYS }, () => [
    new Float64Array(slices.length).fill(Number.NaN),
    new Float64Array(slices.length).fill(Number.NaN),
  ]);
  slices.forEach((pieces, slice) => {
    const found: number[][] = Array.from({ length: RAYS }, () => []);
    for (let p = 0; p < pieces.length; p += 4) cross(pieces, p, eye, found);
    found.forEach((distances, ray) => {
      distances.sort((a, b) => a - b);
      const second = distances.find((distance) => distance > distances[0]! + 1e-6 * radius);
      if (second === undefined) return;
      crossings[ray]![0][slice] = distances[0]!;
      crossings[ray]![1][slice] = second;
    });
  });
  return crossings.map(([near, far]): Ray | null => {
    const [inner, outer] = [usual(near, radius), usual(far, radius)];
    if (inner === null || outer === null) return null;
    return {
      inner: inner.mean,
      outer: outer.mean,
      innerOff: inner.off,
      outerOff: outer.off,
      leftOut: inner.leftOut + outer.leftOut,
    };
  });
}

const rayAngle = (ray: number): number => (Math.PI * (ray + 0.5)) / RAYS;

/** Adds where the rays meet a piece of the section. */
function cross(pieces: number[], p: number, eye: number, found: number[][]): void {
  const [r1, z1, r2, z2] = [pieces[p]!, pieces[p + 1]! - eye, pieces[p + 2]!, pieces[p + 3]! - eye];
  const [a1, a2] = [Math.atan2(r1, z1), Math.atan2(r2, z2)];
  const from = Math.ceil((RAYS * Math.min(a1, a2)) / Math.PI - 0.5);
  const to = Math.ceil((RAYS * Math.max(a1, a2)) / Math.PI - 0.5);
  for (let ray = Math.max(0, from); ray < Math.min(RAYS, to); ray++) {
    const [s, c] = [Math.sin(rayAngle(ray)), Math.cos(rayAngle(ray))];
    const across = s * (z2 - z1) - c * (r2 - r1);
    if (across !== 0) found[ray]!.push((r1 * (z2 - z1) - z1 * (r2 - r1)) / across);
  }
}

/** The mean over the slices without those that lie off; null where most slices have no wall. */
function usual(
  values: Float64Array,
  radius: number,
): { mean: number; off: Float64Array; leftOut: number } | null {
  const there = Array.from(values).filter((value) => !Number.isNaN(value));
  if (there.length < values.length / 2) return null;
  const middle = middleOf(there);
  const limit = Math.max(
    LEAST_OFF * radius,
    OUTLYING * middleOf(there.map((value) => Math.abs(value - middle))),
  );
  const kept = there.filter((value) => Math.abs(value - middle) <= limit);
  const mean = kept.reduce((sum, value) => sum + value, 0) / kept.length;
  const off = values.map((value) => (Math.abs(value - middle) <= limit ? value - mean : Number.NaN));
  return { mean, off, leftOut: there.length - kept.length };
}

function longestRun(rays: (Ray | null)[]): { angle: number; ray: Ray }[] {
  let best: { angle: number; ray: Ray }[] = [];
  let run: { angle: number; ray: Ray }[] = [];
  rays.forEach((ray, i) => {
    run = ray === null ? [] : [...run, { angle: rayAngle(i), ray }];
    if (run.length > best.length) best = run;
  });
  return best;
}

/** How many rays from the axis on meet a stem on the crown instead of its wall. */
function stemRays(rays: { angle: number; ray: Ray }[], radius: number): number {
  const thick = rays.map(({ ray }) => ray.outer - ray.inner);
  const beside = rays.flatMap(({ angle, ray }, i) => {
    const r = ray.inner * Math.sin(angle);
    return angle < Math.PI / 2 && r > 0.25 * radius && r < 0.5 * radius ? [thick[i]!] : [];
  });
  if (beside.length === 0) return 0;
  const limit = STEM * middleOf(beside);
  let stem = 0;
  while (stem < rays.length / 4 && thick[stem]! > limit) stem++;
  return stem < rays.length / 4 ? stem : 0;
}

/** The points of a line that keep it within `tolerance` (Douglas & Peucker 1973). */
function fewest(points: [number, number][], tolerance: number): [number, number][] {
  const keep = new Uint8Array(points.length);
  keep[0] = keep[points.length - 1] = 1;
  const open: [number, number][] = [[0, points.length - 1]];
  while (open.length > 0) {
    const [from, to] = open.pop()!;
    const [[r1, z1], [r2, z2]] = [points[from]!, points[to]!];
    const length = Math.hypot(r2 - r1, z2 - z1);
    let [farthest, most] = [-1, tolerance];
    for (let i = from + 1; i < to; i++) {
      const [r, z] = points[i]!;
      const off =
        length > 0
          ? Math.abs((r - r1) * (z2 - z1) - (z - z1) * (r2 - r1)) / length
          : Math.hypot(r - r1, z - z1);
      if (off > most) [farthest, most] = [i, off];
    }
    if (farthest < 0) continue;
    keep[farthest] = 1;
    open.push([from, farthest], [farthest, to]);
  }
  return points.filter((_, i) => keep[i] === 1);
}
