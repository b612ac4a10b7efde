import type { Profile as RatioProfile } from "../../../src/bell/index.ts";
import type { WallMesh } from "../../../src/shape/mesh/mesh.ts";
import { gridMesh, nodeGrid } from "../../../src/shape/mesh/wall-mesh.ts";
import type { Profile } from "../../../src/shape/profile/profile.ts";
import data from "./stations.json" with { type: "json" };

export const MATERIAL = data.material;
export type BellName = keyof typeof data.bells;

export const BELL_HZ: Record<BellName, number[][]> = {
  church: data.bells.church.hz,
  hobby: data.bells.hobby.hz,
};

const points = (rows: number[][]) => rows.map((row): [number, number] => [row[0]!, row[1]!]);

/** The mesh that the figures of the other programs hold for. */
export function bellMesh(name: BellName): WallMesh {
  const { outer, inner } = data.bells[name];
  return gridMesh(nodeGrid(points(outer), points(inner), 2));
}

export function bellProfile(name: BellName): Profile {
  const line = (rows: number[][]) => ({
    rM: Float64Array.from(rows, (row) => row[0]!),
    zM: Float64Array.from(rows, (row) => row[1]!),
  });
  const { outer, inner } = data.bells[name];
  return { outer: line(outer), inner: line(inner), sizeOf: "casting", ripples: [], notes: [] };
}

export function bellCsv(name: BellName): string {
  const { outer, inner } = data.bells[name];
  const lines = (wall: string, rows: number[][]) =>
    rows.map((row) => `${wall},${(1000 * row[0]!).toFixed(6)},${(1000 * row[1]!).toFixed(6)}`);
  return `${["wall,r_mm,z_mm", ...lines("outer", outer), ...lines("inner", inner)].join("\n")}\n`;
}

/** Ratios to aim at, from the lowest; waves and order are told by their order, as in every profile of ratios. */
export function ratiosOf(
  id: string,
  reference: string,
  partials: { name: string; m: number; hz: number }[],
): RatioProfile {
  const base = partials[0]!.hz;
  return {
    schema: "ringwright.profile/1",
    id,
    title: id,
    reference: [reference],
    longestRing: null,
    strikeHalfOf: null,
    rimLaw: null,
    note: "",
    partials: [...partials]
      .sort((a, b) => a.hz - b.hz)
      .map(({ name, m, hz }) => ({
        name,
        alsoCalled: [],
        ratio: hz / base,
        nodalMeridians: m,
        nodalCircles: null,
        rim: false,
        spread: 0.05,
        presence: 1,
        source: "invented",
        status: "assumed" as const,
      })),
  };
}
