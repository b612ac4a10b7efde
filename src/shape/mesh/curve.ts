import type { WallLine } from "../profile/profile.ts";

/** A line of straight pieces with the way along it to every point, m. */
export interface Curve {
  readonly rM: Float64Array;
  readonly zM: Float64Array;
  readonly alongM: Float64Array;
}

/** A turn sharper than this, degrees, is a corner that was meant. */
const CORNER_DEGREES = 40;

/** The line without points that fall on the one before. */
export function curveOf({ rM, zM }: WallLine): Curve {
  const [r, z, along] = [[rM[0]!], [zM[0]!], [0]];
  for (let i = 1; i < rM.length; i++) {
    const step = Math.hypot(rM[i]! - r.at(-1)!, zM[i]! - z.at(-1)!);
    if (step <= 1e-9) continue;
    r.push(rM[i]!);
    z.push(zM[i]!);
    along.push(along.at(-1)! + step);
  }
  return { rM: Float64Array.from(r), zM: Float64Array.from(z), alongM: Float64Array.from(along) };
}

export function lengthM(curve: Curve): number {
  return curve.alongM.at(-1)!;
}

/** Index of the piece that holds the place `atM` along the line. */
function pieceAt({ alongM }: Curve, atM: number): number {
  let [low, high] = [0, alongM.length - 1];
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (alongM[middle]! <= atM) low = middle;
    else high = middle;
  }
  return low;
}

/** The point at a place along the line. */
export function pointAt(curve: Curve, atM: number): [rM: number, zM: number] {
  if (curve.alongM.length < 2) return [curve.rM[0]!, curve.zM[0]!];
  const i = pieceAt(curve, atM);
  const [from, to] = [curve.alongM[i]!, curve.alongM[i + 1]!];
  const t = Math.min(1, Math.max(0, (atM - from) / (to - from)));
  return [
    curve.rM[i]! + t * (curve.rM[i + 1]! - curve.rM[i]!),
    curve.zM[i]! + t * (curve.zM[i + 1]! - curve.zM[i]!),
  ];
}

/** The stretch of a line between two places. */
export function stretch(curve: Curve, fromM: number, toM: number): Curve {
  const inside = Array.from(curve.alongM.keys()).filter(
    (i) => curve.alongM[i]! > fromM + 1e-9 && curve.alongM[i]! < toM - 1e-9,
  );
  const points = [
    pointAt(curve, fromM),
    ...inside.map((i): [number, number] => [curve.rM[i]!, curve.zM[i]!]),
    pointAt(curve, toM),
  ];
  return curveOf({
    rM: Float64Array.from(points, ([r]) => r),
    zM: Float64Array.from(points, ([, z]) => z),
  });
}

/** The line walked the other way. */
export function reversed({ rM, zM }: Curve): Curve {
  return curveOf({ rM: rM.slice().reverse(), zM: zM.slice().reverse() });
}

/** One line after another; where they do not meet, a straight piece joins them. */
export function joined(first: Curve, second: Curve): Curve {
  return curveOf({
    rM: Float64Array.from([...first.rM, ...second.rM]),
    zM: Float64Array.from([...first.zM, ...second.zM]),
  });
}

/** Where the line turns sharply: places along it, m. */
export function corners({ rM, zM, alongM }: Curve): number[] {
  const found: number[] = [];
  for (let i = 1; i < rM.length - 1; i++) {
    const [r1, z1] = [rM[i]! - rM[i - 1]!, zM[i]! - zM[i - 1]!];
    const [r2, z2] = [rM[i + 1]! - rM[i]!, zM[i + 1]! - zM[i]!];
    const turn = Math.abs(Math.atan2(r1 * z2 - z1 * r2, r1 * r2 + z1 * z2));
    if (turn > (CORNER_DEGREES * Math.PI) / 180) found.push(alongM[i]!);
  }
  return found;
}

/**
 * Where a straight line through (rM, zM) along (dr, dz) meets the curve, nearest to the place `nearM`; null where it does
 * not.
 */
export function crossing(
  curve: Curve,
  rM: number,
  zM: number,
  dr: number,
  dz: number,
  nearM: number,
): number | null {
  let best: number | null = null;
  let before = (curve.rM[0]! - rM) * dz - (curve.zM[0]! - zM) * dr;
  for (let i = 1; i < curve.rM.length; i++) {
    const after = (curve.rM[i]! - rM) * dz - (curve.zM[i]! - zM) * dr;
    if (before * after <= 0 && before !== after) {
      const from = curve.alongM[i - 1]!;
      const at = from + (before / (before - after)) * (curve.alongM[i]! - from);
      if (best === null || Math.abs(at - nearM) < Math.abs(best - nearM)) best = at;
    }
    before = after;
  }
  return best;
}
