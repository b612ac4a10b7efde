import { thicknessM } from "../answers.ts";
import { volumeGradient } from "../body.ts";
import type { WallMesh } from "../mesh/mesh.ts";
import type { Wall, WallStations } from "../mesh/wall-moves.ts";
import { type Band, bothWalls, stationSlopes, wallBands } from "../sensitivity.ts";
import type { Material } from "../solver/material.ts";

/** A stretch that a tool reaches, and how deep it may go. */
export interface Place {
  readonly band: Band;
  readonly mostMm: number;
  readonly kgPerMm: number;
}

/** Stretches of each wall. */
export const BANDS = 16;
/** Unless a depth is given no cut is deeper than this part of the wall. */
const MOST_OF_WALL = 0.15;

/** Stretches of the walls that may be cut: not the crown, where no tool reaches, and not the lip's own edge. */
export function placesOf(
  mesh: WallMesh,
  { densityKgM3 }: Pick<Material, "densityKgM3">,
  walls: readonly Wall[],
  mostM: number | null,
): Place[] {
  const stations = bothWalls(mesh);
  const thickness = thicknessM(mesh);
  const volume = volumeGradient(mesh);
  return walls.flatMap((wall) => {
    const slopes = stationSlopes(mesh, stations[wall], volume);
    return wallBands(stations[wall], BANDS)
      .filter((band, k) => k < BANDS - 1 && !onCrown(stations[wall], band))
      .map((band): Place => {
        const deepest = band.depth.reduce((at, depth, j) => (depth > band.depth[at]! ? j : at), 0);
        const volumePerM = band.depth.reduce((sum, depth, j) => sum + depth * slopes[j]!, 0);
        return {
          band,
          mostMm: 1000 * Math.min(mostM ?? Number.POSITIVE_INFINITY, MOST_OF_WALL * thickness[deepest]!),
          kgPerMm: -volumePerM * 1e-3 * densityKgM3,
        };
      });
  });
}

/** Where the wall looks up or down more than aside, in the upper half. */
function onCrown({ normalZ, zM }: WallStations, band: Band): boolean {
  if (band.zM < (Math.max(...zM) + Math.min(...zM)) / 2) return false;
  const all = band.depth.reduce((sum, depth) => sum + depth, 0);
  return band.depth.reduce((sum, depth, j) => sum + depth * Math.abs(normalZ[j]!), 0) / all > Math.SQRT1_2;
}

/** Three places side by side on one wall, by index. */
export function neighboursOf(places: readonly Place[]): [number, number, number][] {
  return places.flatMap((place, k): [number, number, number][] => {
    const [before, next] = [places[k - 1], places[k + 1]];
    const same = before?.band.wall === place.band.wall && next?.band.wall === place.band.wall;
    return same ? [[k - 1, k, k + 1]] : [];
  });
}
