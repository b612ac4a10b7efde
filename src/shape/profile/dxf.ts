import { InvalidShapeError } from "../error.ts";
import { MOST_POINTS, type Point } from "./outline.ts";

/** Metres of a drawing's own unit, by its header's $INSUNITS. */
const UNITS: Record<string, number> = { "1": 0.0254, "2": 0.3048, "4": 1e-3, "5": 1e-2, "6": 1 };
/** An arc between two corners is drawn with this many pieces. */
const ARC_PIECES = 24;

/** The outline of a DXF drawing and its own unit, m, if it says one. @throws InvalidShapeError */
export function outlineOfDxf(text: string): { points: Point[]; metresPerUnit: number | null } {
  const lines = text.split(/\r\n|\r|\n/);
  const pairs: [code: string, value: string][] = [];
  for (let i = 0; i + 1 < lines.length; i += 2) pairs.push([lines[i]!.trim(), lines[i + 1]!.trim()]);
  if (pairs.length > 10 * MOST_POINTS) {
    throw new InvalidShapeError("the drawing is too large to be a half section; export its outline alone");
  }
  const unitAt = pairs.findIndex(([code, value]) => code === "9" && value === "$INSUNITS");
  const unit = unitAt < 0 ? undefined : pairs[unitAt + 1]?.[1];
  const found: Vertex[][] = [];
  let kind = "";
  for (const [code, value] of pairs) {
    if (code === "0") {
      kind = value;
      if (kind === "LWPOLYLINE" || kind === "POLYLINE") found.push([]);
      if (kind === "VERTEX") found.at(-1)?.push({ r: Number.NaN, z: Number.NaN, bulge: 0 });
      continue;
    }
    if (kind === "LWPOLYLINE" && code === "10") {
      found.at(-1)!.push({ r: coordinate(value), z: Number.NaN, bulge: 0 });
      continue;
    }
    if (kind !== "LWPOLYLINE" && kind !== "VERTEX") continue;
    const vertex = found.at(-1)?.at(-1);
    if (vertex === undefined) continue;
    if (code === "10") vertex.r = coordinate(value);
    if (code === "20") vertex.z = coordinate(value);
    if (code === "42") vertex.bulge = coordinate(value);
  }
  const lineOf = found.filter((each) => each.length > 2);
  if (lineOf.length !== 1) {
    throw new InvalidShapeError(
      `the drawing holds ${lineOf.length} polylines; it must hold one, the closed outline of the half section`,
    );
  }
  const vertices = lineOf[0]!;
  const bare = vertices.findIndex(({ r, z }) => Number.isNaN(r) || Number.isNaN(z));
  if (bare >= 0) {
    throw new InvalidShapeError(`point ${bare + 1} of the polyline lacks a coordinate; export it anew`);
  }
  return {
    points: vertices.flatMap((vertex, i) => withArc(vertex, vertices[(i + 1) % vertices.length]!)),
    metresPerUnit: UNITS[unit ?? ""] ?? null,
  };
}

interface Vertex {
  r: number;
  z: number;
  bulge: number;
}

function coordinate(text: string): number {
  const value = text === "" ? Number.NaN : Number(text);
  if (Math.abs(value) < 1e9) return value;
  throw new InvalidShapeError(
    `"${text.slice(0, 20)}" stands where the drawing should have a number; export it anew`,
  );
}

/** A corner and, where it bulges (tangent of a quarter of the arc's angle), the arc to the next. */
function withArc({ r, z, bulge }: Vertex, next: Vertex): Point[] {
  if (bulge === 0) return [[r, z]];
  const [dr, dz] = [next.r - r, next.z - z];
  const lift = (1 - bulge * bulge) / (4 * bulge);
  const [cr, cz] = [r + dr / 2 - dz * lift, z + dz / 2 + dr * lift];
  const angle = 4 * Math.atan(bulge);
  return Array.from({ length: ARC_PIECES }, (_, i): Point => {
    const [c, s] = [Math.cos((angle * i) / ARC_PIECES), Math.sin((angle * i) / ARC_PIECES)];
    return [cr + c * (r - cr) - s * (z - cz), cz + s * (r - cr) + c * (z - cz)];
  });
}
