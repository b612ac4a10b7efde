import type { Mesh } from "../mesh/mesh.ts";
import { elementPoint, mapPoint } from "./element.ts";
import { type FieldPoint, fieldPoint, sampleField } from "./field.ts";
import type { Mode } from "./harmonic.ts";
import { lame, lameByPoisson, type Material } from "./material.ts";
import { MASS_POINTS, STIFFNESS_POINTS } from "./quadrature.ts";

/** How the logarithm of a mode's frequency changes. */
export interface ModeGradient {
  /** With each node's radius and height, 1/m. */
  readonly byR: Float64Array;
  readonly byZ: Float64Array;
  /** With Poisson's ratio, Young's modulus kept. */
  readonly byPoisson: number;
}

/**
 * The exact derivative of the discrete problem, d ln f / dp = uᵀ (dK - lambda dM) u / (2 lambda), for the coordinates of all
 * nodes at once: each Gauss point's energy is differentiated through the map of its element, d(∇u) = -∇u ∇(dx),
 * d(area) = area div(dx), in place of differencing element matrices.
 */
export function modeGradient(mesh: Mesh, material: Material, { m, frequencyHz, shape }: Mode): ModeGradient {
  const byR = new Float64Array(mesh.rM.length);
  const byZ = new Float64Array(mesh.rM.length);
  const lambda = (2 * Math.PI * frequencyHz) ** 2;
  const moduli = lame(material);
  const slopes = lameByPoisson(material);
  const point = elementPoint();
  const field = fieldPoint();
  const scale = 1 / (2 * lambda);
  let byPoisson = 0;
  for (let e = 0; e < mesh.elements.length / 8; e++) {
    for (const at of STIFFNESS_POINTS) {
      mapPoint(mesh, e, at, point);
      sampleField(mesh, e, at, point, shape, m, field);
      const weight = scale * point.areaM2;
      const r = point.rM;
      const energy = twiceEnergy(field, moduli.lambdaPa, moduli.shearPa);
      byPoisson += weight * r * twiceEnergy(field, slopes.lambdaPa, slopes.shearPa);
      const la = moduli.lambdaPa * (field.rr + field.tt + field.zz);
      const mu = moduli.shearPa;
      const [srr, stt, szz] = [la + 2 * mu * field.rr, la + 2 * mu * field.tt, la + 2 * mu * field.zz];
      const [srz, srt, stz] = [mu * field.rz, mu * field.rt, mu * field.tz];
      // What multiplies d(dr)/dr, d(dr)/dz, d(dz)/dr, d(dz)/dz and dr itself.
      const rByR = -2 * r * (srr * field.uR + srz * field.wR + srt * field.vR) + energy * r;
      const rByZ = -2 * r * (srz * field.uR + szz * field.wR + stz * field.vR);
      const zByR = -2 * r * (srr * field.uZ + srz * field.wZ + srt * field.vZ);
      const zByZ = -2 * r * (srz * field.uZ + szz * field.wZ + stz * field.vZ) + energy * r;
      const rItself =
        energy + 2 * (-stt * field.tt + (srt * (field.v + m * field.u)) / r + (stz * m * field.w) / r);
      for (let k = 0; k < 8; k++) {
        const node = mesh.elements[8 * e + k]!;
        const [g, h] = [point.byR[k]!, point.byZ[k]!];
        byR[node]! += weight * (rByR * g + rByZ * h + rItself * at.n[k]!);
        byZ[node]! += weight * (zByR * g + zByZ * h);
      }
    }
    for (const at of MASS_POINTS) {
      mapPoint(mesh, e, at, point);
      sampleField(mesh, e, at, point, shape, m, field);
      const square = field.u * field.u + field.v * field.v + field.w * field.w;
      const weight = -scale * lambda * material.densityKgM3 * square * point.areaM2;
      for (let k = 0; k < 8; k++) {
        const node = mesh.elements[8 * e + k]!;
        byR[node]! += weight * (at.n[k]! + point.rM * point.byR[k]!);
        byZ[node]! += weight * point.rM * point.byZ[k]!;
      }
    }
  }
  return { byR, byZ, byPoisson };
}

/** Stress times strain, J/m³, for moduli given in Pa. */
export function twiceEnergy(field: FieldPoint, lambdaPa: number, shearPa: number): number {
  const { rr, tt, zz, rz, rt, tz } = field;
  return (
    lambdaPa * (rr + tt + zz) ** 2 +
    shearPa * (2 * (rr * rr + tt * tt + zz * zz) + rz * rz + rt * rt + tz * tz)
  );
}
