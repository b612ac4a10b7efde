import { InvalidShapeError } from "../error.ts";
import { MOST_POINTS, type Point } from "./outline.ts";

/** Metres of the units that a drawing's width may have. */
const UNITS: Record<string, number> = { mm: 1e-3, cm: 1e-2, in: 0.0254 };
/** Pieces that a curve is drawn with. */
const PIECES = 24;
/** Numbers that each command takes. */
const TAKES: Record<string, number> = { M: 2, L: 2, H: 1, V: 1, C: 6, S: 4, Q: 4, T: 2, Z: 0 };

/**
 * The outline of an SVG's one path, heights upwards, and its own unit, m, where its width has one. The axis is an upright line of
 * its own, or else x = 0.
 *
 * @throws InvalidShapeError
 */
export function outlineOfSvg(text: string): { points: Point[]; metresPerUnit: number | null } {
  const paths = [...text.matchAll(/<path\b[^>]*?\sd\s*=\s*(?:"([^"]*)"|'([^']*)')/gi)].map((found) =>
    pointsOf(found[1] ?? found[2]!),
  );
  const axisX = paths.find(isAxis)?.[0]?.[0] ?? 0;
  const outlines = paths.filter((path) => !isAxis(path));
  if (outlines.length !== 1) {
    throw new InvalidShapeError(
      `the drawing holds ${outlines.length} outlines; it must hold one, that of the half section, closed`,
    );
  }
  if (/\stransform\s*=/i.test(text)) {
    throw new InvalidShapeError(
      "the drawing moves its path by a transform; apply it and save the drawing anew",
    );
  }
  const root = /<svg\b[^>]*>/i.exec(text)?.[0] ?? "";
  const width = /\swidth\s*=\s*["']\s*([\d.]+)(mm|cm|in)\s*["']/i.exec(root);
  const box = /\sviewBox\s*=\s*["']\s*\S+[\s,]+\S+[\s,]+([\d.]+)/i.exec(root);
  const scale = width && box ? (Number(width[1]) * UNITS[width[2]!.toLowerCase()]!) / Number(box[1]) : 0;
  return {
    points: outlines[0]!.map(([x, y]): Point => [x - axisX, -y]),
    metresPerUnit: scale > 0 && Number.isFinite(scale) ? scale : null,
  };
}

/** A straight upright line beside the outline is the axis. */
function isAxis(points: Point[]): boolean {
  return points.length === 2 && points[0]![0] === points[1]![0];
}

function pointsOf(path: string): Point[] {
  const points: Point[] = [];
  let [x, y] = [0, 0];
  let handle: Point | null = null;
  let of = "";
  for (const [, letter, rest] of path.matchAll(/([a-z])([^a-df-z]*)/gi)) {
    let command = letter!.toUpperCase();
    const takes = Object.hasOwn(TAKES, command) ? TAKES[command]! : undefined;
    if (takes === undefined) {
      throw new InvalidShapeError(
        `the path has the command ${letter}, which is not read; save it with lines and Bezier curves only`,
      );
    }
    const numbers = (rest!.match(/[+-]?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?/gi) ?? []).map(Number);
    const short = takes === 0 ? numbers.length > 0 : numbers.length === 0 || numbers.length % takes !== 0;
    if (short || !numbers.every((value) => Math.abs(value) < 1e9)) {
      throw new InvalidShapeError(
        `the path's command ${letter} has the wrong numbers; save the drawing anew`,
      );
    }
    for (let i = 0; i < numbers.length; i += takes || 1) {
      if (points.length > MOST_POINTS) {
        throw new InvalidShapeError("the path has too many points to be a half section; make it simpler");
      }
      if (command === "M" && points.length > 0 && i === 0) {
        throw new InvalidShapeError("the path has several parts; it must be one closed outline");
      }
      const relative = letter === letter!.toLowerCase();
      const at = (k: number): Point => [
        numbers[i + k]! + (relative ? x : 0),
        numbers[i + k + 1]! + (relative ? y : 0),
      ];
      const before: Point = [x, y];
      const mirror: Point = handle === null ? before : [2 * x - handle[0], 2 * y - handle[1]];
      let bend: Point[] = [];
      if (command === "H") x = numbers[i]! + (relative ? x : 0);
      else if (command === "V") y = numbers[i]! + (relative ? y : 0);
      else {
        if (command === "C") bend = [at(0), at(2)];
        if (command === "S") bend = [of === "C" || of === "S" ? mirror : before, at(0)];
        if (command === "Q") bend = [at(0)];
        if (command === "T") bend = [of === "Q" || of === "T" ? mirror : before];
        [x, y] = at(takes - 2);
      }
      handle = bend.at(-1) ?? null;
      of = command;
      points.push(...bent(before, bend, [x, y]));
      if (command === "M") command = "L";
    }
  }
  return points;
}

/** The points of a straight or Bezier piece after its first. */
function bent(from: Point, bend: Point[], to: Point): Point[] {
  if (bend.length === 0) return [to];
  return Array.from({ length: PIECES }, (_, i) => {
    let line = [from, ...bend, to];
    const t = (i + 1) / PIECES;
    while (line.length > 1) {
      line = line
        .slice(1)
        .map(
          ([x, y], k): Point => [line[k]![0] + t * (x - line[k]![0]), line[k]![1] + t * (y - line[k]![1])],
        );
    }
    return line[0]!;
  });
}
