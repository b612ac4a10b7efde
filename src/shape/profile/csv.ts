import { InvalidShapeError } from "../error.ts";
import type { WallLine } from "./profile.ts";

/** Lines of a table beyond any drawing of a bell. */
const MOST_LINES = 200_000;

/**
 * Both walls of a table `wall,r_mm,z_mm`, `wall` being outer or inner, each from the crown to the lip. Blank lines and lines
 * that begin with # are passed over.
 *
 * @throws InvalidShapeError with the line
 */
export function wallsOfCsv(text: string, metresPerUnit: number): { outer: WallLine; inner: WallLine } {
  const lines = text.split(/\r\n|\r|\n/);
  if (lines.length > MOST_LINES) {
    throw new InvalidShapeError(
      `the table has more than ${MOST_LINES} lines; a few hundred points a wall are enough`,
    );
  }
  const walls = {
    outer: { r: [] as number[], z: [] as number[] },
    inner: { r: [] as number[], z: [] as number[] },
  };
  let headed = false;
  lines.forEach((line, at) => {
    const cells = line.split(",").map((cell) => cell.trim().replace(/^"(.*)"$/, "$1"));
    if (cells.every((cell) => cell === "") || cells[0]!.startsWith("#")) return;
    if (!headed) {
      headed = true;
      if (cells.slice(0, 3).join(",").toLowerCase() === "wall,r_mm,z_mm") return;
      throw new InvalidShapeError(
        `line ${at + 1} should be the header wall,r_mm,z_mm and is not; write it as the first line`,
      );
    }
    const wall = cells[0]!.toLowerCase();
    if (wall !== "outer" && wall !== "inner") {
      throw new InvalidShapeError(`line ${at + 1}: the first cell must be outer or inner; mend it`);
    }
    const [r, z] = [decimal(cells[1], at), decimal(cells[2], at)];
    walls[wall].r.push(r * metresPerUnit);
    walls[wall].z.push(z * metresPerUnit);
  });
  const line = ({ r, z }: { r: number[]; z: number[] }): WallLine => ({
    rM: Float64Array.from(r),
    zM: Float64Array.from(z),
  });
  return { outer: line(walls.outer), inner: line(walls.inner) };
}

function decimal(cell: string | undefined, at: number): number {
  if (cell !== undefined && /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i.test(cell)) {
    const value = Number(cell);
    if (Math.abs(value) < 1e6) return value;
  }
  throw new InvalidShapeError(
    `line ${at + 1}: radius and height must be numbers with a decimal point; mend it`,
  );
}
