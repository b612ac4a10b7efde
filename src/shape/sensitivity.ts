import type { WallMesh } from "./mesh/mesh.ts";
import { eachMoved, type Wall, type WallStations, wallStations } from "./mesh/wall-moves.ts";
import type { ModeGradient } from "./solver/gradient.ts";

/** Cents to one unit of the natural logarithm of a frequency. */
export const CENTS_PER_NEPER = 1200 / Math.LN2;

/** A stretch of one wall: full depth at its middle, falling smoothly to nothing at the middles of its neighbours. */
export interface Band {
  readonly wall: Wall;
  /** Middle of the band, m. */
  readonly rM: number;
  readonly zM: number;
  /** Where it begins and ends, heights in m; `fromZM` is nearer the crown. */
  readonly fromZM: number;
  readonly toZM: number;
  /** Depth at each station where the band's is 1. */
  readonly depth: Float64Array;
}

/** `count` bands along one wall that overlap by half and add up to an even depth. */
export function wallBands(stations: WallStations, count: number): Band[] {
  const { alongM, rM, zM } = stations;
  const total = alongM.at(-1)!;
  const step = total / (count - 1);
  const nearest = (at: number): number => {
    let best = 0;
    for (let j = 1; j < alongM.length; j++) {
      if (Math.abs(alongM[j]! - at) < Math.abs(alongM[best]! - at)) best = j;
    }
    return best;
  };
  return Array.from({ length: count }, (_, k) => {
    const middle = nearest(k * step);
    return {
      wall: stations.wall,
      rM: rM[middle]!,
      zM: zM[middle]!,
      fromZM: zM[nearest(Math.max(0, (k - 1) * step))]!,
      toZM: zM[nearest(Math.min(total, (k + 1) * step))]!,
      // Raised cosines, whose sum is 1 everywhere and whose edge a lathe can follow.
      depth: alongM.map((at) => {
        const away = Math.abs(at - k * step) / step;
        return away >= 1 ? 0 : 0.5 + 0.5 * Math.cos(Math.PI * away);
      }),
    };
  });
}

/** d ln f for each station of a wall moved into the metal, 1/m. */
export function stationSlopes(
  mesh: WallMesh,
  stations: WallStations,
  { byR, byZ }: Pick<ModeGradient, "byR" | "byZ">,
): Float64Array {
  const slopes = new Float64Array(mesh.columns);
  for (let j = 0; j < mesh.columns; j++) {
    let sum = 0;
    eachMoved(mesh, stations, j, (node, r, z) => {
      sum += r * byR[node]! + z * byZ[node]!;
    });
    slopes[j] = sum;
  }
  return slopes;
}

/** Cents for each metre that is removed over a band (its full depth at the middle). */
export function bandCentsPerM(slopes: Float64Array, { depth }: Band): number {
  let sum = 0;
  for (let j = 0; j < depth.length; j++) sum += slopes[j]! * depth[j]!;
  return CENTS_PER_NEPER * sum;
}

/** Both walls' stations of a mesh. */
export function bothWalls(mesh: WallMesh): Record<Wall, WallStations> {
  return { outer: wallStations(mesh, "outer"), inner: wallStations(mesh, "inner") };
}
