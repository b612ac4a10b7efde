import type { WallLine } from "../profile/profile.ts";

/** A turn sharper than this, degrees, is a corner that was meant; others are places on a curve. */
const CORNER_DEGREES = 35;
/** Pieces that each stretch between two points is drawn with. */
const PIECES = 12;
/** A line of more points than this is smooth enough as it is. */
const DENSE = 500;

/**
 * A smooth curve through the points of a line: cubic pieces whose directions at each point are those of the circle through it and
 * its neighbours. Corners stay. Thirty points a wall that are joined straight put a bell's partials off by up to 16
 * cents.
 */
export function smoothLine(line: WallLine): WallLine {
  const points = distinct(line);
  const count = points.length;
  if (count < 3 || count > DENSE) return line;
  const length: number[] = [];
  const chord: [number, number][] = [];
  for (let i = 0; i < count - 1; i++) {
    const [dr, dz] = [points[i + 1]![0] - points[i]![0], points[i + 1]![1] - points[i]![1]];
    length.push(Math.hypot(dr, dz));
    chord.push([dr / length[i]!, dz / length[i]!]);
  }
  const [arriving, leaving] = directions(chord, length);
  const [r, z]: [number[], number[]] = [[points[0]![0]], [points[0]![1]]];
  for (let i = 0; i < count - 1; i++) {
    const step = length[i]!;
    for (let piece = 1; piece <= PIECES; piece++) {
      const t = piece / PIECES;
      const [h00, h10] = [(1 + 2 * t) * (1 - t) ** 2, t * (1 - t) ** 2 * step];
      const [h01, h11] = [t * t * (3 - 2 * t), t * t * (t - 1) * step];
      const at = (c: 0 | 1) =>
        h00 * points[i]![c] + h10 * leaving[i]![c] + h01 * points[i + 1]![c] + h11 * arriving[i + 1]![c];
      r.push(Math.max(0, at(0)));
      z.push(at(1));
    }
  }
  return { rM: Float64Array.from(r), zM: Float64Array.from(z) };
}

function distinct({ rM, zM }: WallLine): [number, number][] {
  const points: [number, number][] = [];
  for (let i = 0; i < rM.length; i++) {
    const last = points.at(-1);
    if (last === undefined || Math.hypot(rM[i]! - last[0], zM[i]! - last[1]) > 1e-9) {
      points.push([rM[i]!, zM[i]!]);
    }
  }
  return points;
}

type Directions = [number, number][];

function directions(chord: Directions, length: number[]): [arriving: Directions, leaving: Directions] {
  const count = chord.length + 1;
  const arriving: Directions = new Array(count);
  const leaving: Directions = new Array(count);
  for (let i = 1; i < count - 1; i++) {
    const [[a, b], [c, d]] = [chord[i - 1]!, chord[i]!];
    const turn = Math.abs(Math.atan2(a * d - b * c, a * c + b * d));
    if (turn > (CORNER_DEGREES * Math.PI) / 180) continue;
    const [r, z] = [a * length[i]! + c * length[i - 1]!, b * length[i]! + d * length[i - 1]!];
    const size = Math.hypot(r, z);
    arriving[i] = [r / size, z / size];
    leaving[i] = arriving[i]!;
  }
  // Where one side is free, at an end or a corner, the piece is the arc that its other end asks for.
  const mirrored = ([a, b]: [number, number], far: [number, number] | undefined): [number, number] =>
    far === undefined
      ? [a, b]
      : [2 * (a * far[0] + b * far[1]) * a - far[0], 2 * (a * far[0] + b * far[1]) * b - far[1]];
  for (let i = 0; i < count - 1; i++) {
    const [from, to] = [leaving[i], arriving[i + 1]];
    if (from === undefined) leaving[i] = mirrored(chord[i]!, to);
    if (to === undefined) arriving[i + 1] = mirrored(chord[i]!, from);
  }
  return [arriving, leaving];
}
