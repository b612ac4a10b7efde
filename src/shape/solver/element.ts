import type { Mesh } from "../mesh/mesh.ts";
import type { ReferencePoint } from "./quadrature.ts";

/** One point of one element: radius, weight times area, and the eight nodes' gradients. Filled anew for each point. */
export interface ElementPoint {
  rM: number;
  zM: number;
  /** Gauss weight times the determinant of the map, m². Not above zero where the element is turned inside out. */
  areaM2: number;
  /** d/dr and d/dz of each node's shape function, 1/m. */
  readonly byR: Float64Array;
  readonly byZ: Float64Array;
}

export function elementPoint(): ElementPoint {
  return { rM: 0, zM: 0, areaM2: 0, byR: new Float64Array(8), byZ: new Float64Array(8) };
}

/** Maps a reference point into element `e`, writing into `out`. */
export function mapPoint(mesh: Mesh, e: number, point: ReferencePoint, out: ElementPoint): void {
  const { elements, rM, zM } = mesh;
  let [rXi, zXi, rEta, zEta, r, z] = [0, 0, 0, 0, 0, 0];
  for (let k = 0; k < 8; k++) {
    const node = elements[8 * e + k]!;
    const [nodeR, nodeZ] = [rM[node]!, zM[node]!];
    rXi += point.nXi[k]! * nodeR;
    zXi += point.nXi[k]! * nodeZ;
    rEta += point.nEta[k]! * nodeR;
    zEta += point.nEta[k]! * nodeZ;
    r += point.n[k]! * nodeR;
    z += point.n[k]! * nodeZ;
  }
  const det = rXi * zEta - zXi * rEta;
  out.rM = r;
  out.zM = z;
  out.areaM2 = point.weight * det;
  for (let k = 0; k < 8; k++) {
    out.byR[k] = (zEta * point.nXi[k]! - zXi * point.nEta[k]!) / det;
    out.byZ[k] = (rXi * point.nEta[k]! - rEta * point.nXi[k]!) / det;
  }
}
