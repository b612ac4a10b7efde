import { InvalidShapeError } from "../error.ts";
import { MOST_POINTS, type Point, wallLine } from "./outline.ts";
import type { WallLine } from "./profile.ts";

/** Both walls of `{ "outer": [[r, z], ...], "inner": [[r, z], ...] }`. @throws InvalidShapeError */
export function wallsOfJson(text: string, metresPerUnit: number): { outer: WallLine; inner: WallLine } {
  let read: unknown;
  try {
    read = JSON.parse(text);
  } catch {
    throw new InvalidShapeError("the JSON cannot be read; mend it where a checker says it breaks");
  }
  const wall = (name: "outer" | "inner"): WallLine => {
    const points = (read as Record<string, unknown> | null)?.[name];
    if (!Array.isArray(points) || points.length > MOST_POINTS) {
      throw new InvalidShapeError(`"${name}" must be a list of points [r, z] in millimetres; mend it`);
    }
    const line = points.map((point: unknown, i): Point => {
      const numbers = Array.isArray(point) && point.length === 2 ? point : [];
      if (
        numbers.length !== 2 ||
        !numbers.every((each) => typeof each === "number" && Math.abs(each) < 1e6)
      ) {
        throw new InvalidShapeError(`point ${i + 1} of "${name}" must be two numbers, [r, z]; mend it`);
      }
      return [metresPerUnit * numbers[0], metresPerUnit * numbers[1]];
    });
    return wallLine(line);
  };
  return { outer: wall("outer"), inner: wall("inner") };
}
