import type { Mesh } from "../mesh/mesh.ts";
import type { ElementPoint } from "./element.ts";
import type { ReferencePoint } from "./quadrature.ts";

/** Motion U, V, W at a point, its derivatives and its strains, the factors cos and sin of the angle left out. */
export interface FieldPoint {
  u: number;
  v: number;
  w: number;
  uR: number;
  uZ: number;
  vR: number;
  vZ: number;
  wR: number;
  wZ: number;
  rr: number;
  tt: number;
  zz: number;
  rz: number;
  rt: number;
  tz: number;
}

export function fieldPoint(): FieldPoint {
  return {
    u: 0,
    v: 0,
    w: 0,
    uR: 0,
    uZ: 0,
    vR: 0,
    vZ: 0,
    wR: 0,
    wZ: 0,
    rr: 0,
    tt: 0,
    zz: 0,
    rz: 0,
    rt: 0,
    tz: 0,
  };
}

/** Samples the motion `shape` with m waves around at a mapped point of element `e`, writing into `out`. */
export function sampleField(
  mesh: Mesh,
  e: number,
  at: ReferencePoint,
  point: ElementPoint,
  shape: Float64Array,
  m: number,
  out: FieldPoint,
): void {
  let [u, v, w, uR, uZ, vR, vZ, wR, wZ] = [0, 0, 0, 0, 0, 0, 0, 0, 0];
  for (let k = 0; k < 8; k++) {
    const node = 3 * mesh.elements[8 * e + k]!;
    const [nodeU, nodeV, nodeW] = [shape[node]!, shape[node + 1]!, shape[node + 2]!];
    const [n, g, h] = [at.n[k]!, point.byR[k]!, point.byZ[k]!];
    u += n * nodeU;
    v += n * nodeV;
    w += n * nodeW;
    uR += g * nodeU;
    uZ += h * nodeU;
    vR += g * nodeV;
    vZ += h * nodeV;
    wR += g * nodeW;
    wZ += h * nodeW;
  }
  const r = point.rM;
  out.u = u;
  out.v = v;
  out.w = w;
  out.uR = uR;
  out.uZ = uZ;
  out.vR = vR;
  out.vZ = vZ;
  out.wR = wR;
  out.wZ = wZ;
  out.rr = uR;
  out.tt = (u + m * v) / r;
  out.zz = wZ;
  out.rz = uZ + wR;
  out.rt = vR - (v + m * u) / r;
  out.tz = vZ - (m * w) / r;
}
