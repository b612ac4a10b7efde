import type { Profile } from "./profile.ts";
import { sectionMm } from "./section.ts";

/** Facets around: a chord of 144 leaves a circle by 0.02 % of its radius. */
const AROUND = 144;
const HEADER_BYTES = 80;
const TRIANGLE_BYTES = 50;

type Point = readonly [number, number, number];

/** The section turned about the axis, as a closed binary STL in millimetres, its facets looking outward. */
export function profileStl(profile: Profile): Uint8Array {
  const section = sectionMm(profile);
  const at = ([r, z]: readonly [number, number], step: number): Point => {
    const angle = (2 * Math.PI * (step % AROUND)) / AROUND;
    return [r * Math.cos(angle), r * Math.sin(angle), z];
  };
  // Walked down outside and up inside, the section turns clockwise seen with the axis on the left.
  const triangles: [Point, Point, Point][] = [];
  section.forEach((from, i) => {
    const to = section[(i + 1) % section.length]!;
    if (from[0] <= 0 && to[0] <= 0) return;
    for (let step = 0; step < AROUND; step++) {
      const [a, b, c, d] = [at(from, step), at(to, step), at(to, step + 1), at(from, step + 1)];
      if (to[0] > 0) triangles.push([a, b, c]);
      if (from[0] > 0) triangles.push([a, c, d]);
    }
  });
  const bytes = new Uint8Array(HEADER_BYTES + 4 + TRIANGLE_BYTES * triangles.length);
  const view = new DataView(bytes.buffer);
  view.setUint32(HEADER_BYTES, triangles.length, true);
  triangles.forEach((triangle, k) => {
    const start = HEADER_BYTES + 4 + TRIANGLE_BYTES * k;
    [normalOf(triangle), ...triangle].forEach((vector, v) => {
      vector.forEach((value, axis) => {
        view.setFloat32(start + 12 * v + 4 * axis, value, true);
      });
    });
  });
  return bytes;
}

function normalOf([a, b, c]: [Point, Point, Point]): Point {
  const [u, v] = [b, c].map((p) => p.map((each, k) => each - a[k]!)) as [number[], number[]];
  const cross = [u[1]! * v[2]! - u[2]! * v[1]!, u[2]! * v[0]! - u[0]! * v[2]!, u[0]! * v[1]! - u[1]! * v[0]!];
  const size = Math.hypot(...cross) || 1;
  return [cross[0]! / size, cross[1]! / size, cross[2]! / size];
}
