import type { Mesh } from "./mesh/mesh.ts";
import { elementPoint, mapPoint } from "./solver/element.ts";
import { MASS_POINTS } from "./solver/quadrature.ts";

/** What a body of revolution holds. */
export interface Body {
  readonly volumeM3: number;
  /** Height of the centre of gravity, m, in the heights of the profile. */
  readonly centreZM: number;
}

/** Volume and centre of gravity, by the mesh that the partials come from. */
export function bodyOf(mesh: Mesh): Body {
  const point = elementPoint();
  let [volume, moment] = [0, 0];
  for (let e = 0; e < mesh.elements.length / 8; e++) {
    for (const at of MASS_POINTS) {
      mapPoint(mesh, e, at, point);
      const piece = 2 * Math.PI * point.rM * point.areaM2;
      volume += piece;
      moment += piece * point.zM;
    }
  }
  return { volumeM3: volume, centreZM: moment / volume };
}

/** Volume taken off with one metre of depth at each node's place: d volume / d coordinate, for all nodes. */
export function volumeGradient(mesh: Mesh): { byR: Float64Array; byZ: Float64Array } {
  const byR = new Float64Array(mesh.rM.length);
  const byZ = new Float64Array(mesh.rM.length);
  const point = elementPoint();
  for (let e = 0; e < mesh.elements.length / 8; e++) {
    for (const at of MASS_POINTS) {
      mapPoint(mesh, e, at, point);
      const weight = 2 * Math.PI * point.areaM2;
      for (let k = 0; k < 8; k++) {
        const node = mesh.elements[8 * e + k]!;
        byR[node]! += weight * (at.n[k]! + point.rM * point.byR[k]!);
        byZ[node]! += weight * point.rM * point.byZ[k]!;
      }
    }
  }
  return { byR, byZ };
}
