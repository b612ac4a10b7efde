import type { Mesh, WallMesh } from "../../../src/shape/mesh/mesh.ts";
import { gridMesh, nodeGrid } from "../../../src/shape/mesh/wall-mesh.ts";
import { isTorsion } from "../../../src/shape/modes.ts";
import { type Mode, solveHarmonic } from "../../../src/shape/solver/harmonic.ts";
import type { Material } from "../../../src/shape/solver/material.ts";
import { buildModel } from "../../../src/shape/solver/model.ts";

/** Sections of bodies whose frequencies are known from elsewhere. */

type Point = readonly [rM: number, zM: number];

/** Between an outer and an inner line, each given over 0 to 1. */
export function swept(
  outer: (t: number) => Point,
  inner: (t: number) => Point,
  along: number,
  through: number,
): WallMesh {
  const at = Array.from({ length: 2 * along + 1 }, (_, j) => j / (2 * along));
  return gridMesh(nodeGrid(at.map(outer), at.map(inner), through));
}

export function tube(
  innerM: number,
  outerM: number,
  longM: number,
  along: number,
  through: number,
): WallMesh {
  return swept(
    (t) => [outerM, longM * (1 - t)],
    (t) => [innerM, longM * (1 - t)],
    along,
    through,
  );
}

interface Block {
  map: (u: number, v: number) => Point;
  across: number;
  up: number;
}

/** Blocks of elements side by side; nodes at one place are one. */
function blocks(parts: Block[]): Mesh {
  const seen = new Map<string, number>();
  const points: Point[] = [];
  const key = ([r, z]: Point) => `${Math.round(r * 1e9)} ${Math.round(z * 1e9)}`;
  const node = (point: Point): number => {
    const known = seen.get(key(point));
    if (known !== undefined) return known;
    seen.set(key(point), points.length);
    points.push(point);
    return points.length - 1;
  };
  const elements: number[] = [];
  for (const { map, across, up } of parts) {
    for (let i = 0; i < across; i++) {
      for (let j = 0; j < up; j++) {
        const at = (x: number, y: number) => node(map((i + x) / across, (j + y) / up));
        elements.push(at(0, 0), at(1, 0), at(1, 1), at(0, 1), at(0.5, 0), at(1, 0.5), at(0.5, 1), at(0, 0.5));
      }
    }
  }
  // Numbered from below, which keeps the band narrow enough.
  const order = [...points.keys()].sort(
    (a, b) => points[a]![1] - points[b]![1] || points[a]![0] - points[b]![0],
  );
  const numberOf = new Int32Array(points.length);
  order.forEach((old, now) => {
    numberOf[old] = now;
  });
  return {
    rM: Float64Array.from(order, (old) => points[old]![0]),
    zM: Float64Array.from(order, (old) => points[old]![1]),
    elements: Int32Array.from(elements, (old) => numberOf[old]!),
  };
}

const arc =
  (radius: number, from: number, to: number, centreR = 0) =>
  (u: number): Point => {
    const angle = from + (to - from) * u;
    return [centreR + radius * Math.cos(angle), radius * Math.sin(angle)];
  };

const between =
  (a: Point, b: Point) =>
  (u: number): Point => [a[0] + (b[0] - a[0]) * u, a[1] + (b[1] - a[1]) * u];

function ring(from: (u: number) => Point, to: (u: number) => Point) {
  return (u: number, v: number): Point => {
    const [a, b] = [from(u), to(u)];
    // The map runs from the inner line outwards; (v, -u) keeps elements anticlockwise.
    return [a[0] + (b[0] - a[0]) * v, a[1] + (b[1] - a[1]) * v];
  };
}

const turned = (map: (u: number, v: number) => Point) => (u: number, v: number) => map(v, u);

/** Half a disc of radius 1 on the axis: the section of a ball. `n` elements along each part. */
export function halfDisc(n: number): Mesh {
  const [a, b] = [0.55, 0.45];
  const inner: Point[] = [
    [0, -a],
    [b, -b],
    [b, b],
    [0, a],
  ];
  const square = (u: number, v: number): Point => {
    const low = between(inner[0]!, inner[1]!)(u);
    const high = between(inner[3]!, inner[2]!)(u);
    return between(low, high)(v);
  };
  const q = Math.PI / 4;
  const part = (k: number, from: number, to: number) =>
    turned(ring(between(inner[k]!, inner[k + 1]!), arc(1, from, to)));
  const clean = (map: (u: number, v: number) => Point) => (u: number, v: number) => {
    const [r, z] = map(u, v);
    return [Math.abs(r) < 1e-12 ? 0 : r, z] as const;
  };
  return blocks([
    { map: clean(square), across: n, up: 2 * n },
    { map: clean(part(0, -2 * q, -q)), across: n, up: n },
    { map: clean(part(1, -q, q)), across: n, up: 2 * n },
    { map: clean(part(2, q, 2 * q)), across: n, up: n },
  ]);
}

/** A disc of radius `radiusM` at `centreM` from the axis: the section of a torus. */
export function disc(centreM: number, radiusM: number, n: number): Mesh {
  const b = 0.5 * radiusM;
  const corners: Point[] = [
    [centreM - b, -b],
    [centreM + b, -b],
    [centreM + b, b],
    [centreM - b, b],
  ];
  const square = (u: number, v: number): Point =>
    between(between(corners[0]!, corners[1]!)(u), between(corners[3]!, corners[2]!)(u))(v);
  const sides = [0, 1, 2, 3].map((k) => {
    const from = Math.PI * (1.25 + k / 2);
    return {
      map: turned(
        ring(between(corners[k]!, corners[(k + 1) % 4]!), arc(radiusM, from, from + Math.PI / 2, centreM)),
      ),
      across: n,
      up: n,
    };
  });
  return blocks([{ map: square, across: n, up: n }, ...sides]);
}

/** Lowest modes of a free body with m waves around. */
export function modesOf(mesh: Mesh, material: Material, m: number, count: number): Mode[] {
  return solveHarmonic(buildModel(mesh, material), m, count);
}

export function frequenciesHz(mesh: Mesh, material: Material, m: number, count: number): number[] {
  return modesOf(mesh, material, m, count).map(({ frequencyHz }) => frequencyHz);
}

/** Without those that only turn about the axis. */
export function breathing(modes: Mode[]): Mode[] {
  return modes.filter(({ shape }) => !isTorsion(shape));
}

/** Where a function changes sign between `low` and `high`, in `steps` steps, each root to the last bit. */
export function roots(f: (x: number) => number, low: number, high: number, steps: number): number[] {
  const found: number[] = [];
  for (let i = 0; i < steps; i++) {
    let a = low + ((high - low) * i) / steps;
    let b = low + ((high - low) * (i + 1)) / steps;
    if (f(a) * f(b) >= 0) continue;
    for (let round = 0; round < 60; round++) {
      const middle = (a + b) / 2;
      if (f(a) * f(middle) <= 0) b = middle;
      else a = middle;
    }
    found.push((a + b) / 2);
  }
  return found;
}

/** Spherical Bessel function of the first kind, by recurrence upwards: enough for x above l / 3. */
export function sphericalJ(l: number, x: number): number {
  let [before, now] = [Math.sin(x) / x, Math.sin(x) / (x * x) - Math.cos(x) / x];
  if (l === 0) return before;
  for (let k = 1; k < l; k++) [before, now] = [now, ((2 * k + 1) / x) * now - before];
  return now;
}
