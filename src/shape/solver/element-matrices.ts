import type { Mesh } from "../mesh/mesh.ts";
import { type ElementPoint, elementPoint, mapPoint } from "./element.ts";
import { lame, type Material } from "./material.ts";
import { MASS_POINTS, STIFFNESS_POINTS } from "./quadrature.ts";

/** Unknowns of an element: U, V, W at eight nodes. */
export const UNKNOWNS = 24;
/** Entries of one element matrix. */
export const ENTRIES = UNKNOWNS * UNKNOWNS;
/** Entries of K0, K1, K2 and M, one after the other. */
export const PARTS = 4 * ENTRIES;

/**
 * Stiffness and mass of each element for the motion u_r = U cos(m theta), u_theta = V sin(m theta), u_z = W cos(m theta),
 * the integral over the angle left out of both: K(m) = K0 + m K1 + m² K2, so that one integration serves every m.
 *
 * @returns for each element K0, K1, K2, M, full 24 by 24, row by row
 */
export function elementMatrices(mesh: Mesh, material: Material): Float64Array {
  const count = mesh.elements.length / 8;
  const parts = new Float64Array(count * PARTS);
  const point = elementPoint();
  for (let e = 0; e < count; e++) {
    for (const at of STIFFNESS_POINTS) {
      mapPoint(mesh, e, at, point);
      addStiffness(parts, e * PARTS, point, at.n, material);
    }
    for (const at of MASS_POINTS) {
      mapPoint(mesh, e, at, point);
      addMass(parts, e * PARTS + 3 * ENTRIES, point, at.n, material.densityKgM3);
    }
  }
  return parts;
}

/** Strains rr, theta-theta, zz, rz, r-theta, theta-z times Hooke's law, node by node. */
function addStiffness(
  parts: Float64Array,
  offset: number,
  point: ElementPoint,
  n: Float64Array,
  material: Material,
): void {
  const { lambdaPa: la, shearPa: mu } = lame(material);
  const both = la + 2 * mu;
  const { rM, areaM2, byR, byZ } = point;
  const weight = areaM2 * rM;
  for (let a = 0; a < 8; a++) {
    const [g, h, p] = [byR[a]!, byZ[a]!, n[a]! / rM];
    for (let b = 0; b < 8; b++) {
      const [G, H, P] = [byR[b]!, byZ[b]!, n[b]! / rM];
      const at = offset + 3 * a * UNKNOWNS + 3 * b;
      parts[at]! += weight * (both * (g * G + p * P) + la * (g * P + p * G) + mu * h * H);
      parts[at + 2]! += weight * (la * (g + p) * H + mu * h * G);
      parts[at + 25]! += weight * mu * ((g - p) * (G - P) + h * H);
      parts[at + 48]! += weight * (la * h * (G + P) + mu * g * H);
      parts[at + 50]! += weight * (both * h * H + mu * g * G);
      const once = at + ENTRIES;
      parts[once + 1]! += weight * (la * g * P + both * p * P - mu * p * (G - P));
      parts[once + 24]! += weight * (la * p * G + both * p * P - mu * (g - p) * P);
      parts[once + 26]! += weight * (la * p * H - mu * h * P);
      parts[once + 49]! += weight * (la * h * P - mu * p * H);
      const twice = at + 2 * ENTRIES;
      parts[twice]! += weight * mu * p * P;
      parts[twice + 25]! += weight * both * p * P;
      parts[twice + 50]! += weight * mu * p * P;
    }
  }
}

function addMass(
  parts: Float64Array,
  offset: number,
  point: ElementPoint,
  n: Float64Array,
  densityKgM3: number,
): void {
  const weight = densityKgM3 * point.areaM2 * point.rM;
  for (let a = 0; a < 8; a++) {
    for (let b = 0; b < 8; b++) {
      const value = weight * n[a]! * n[b]!;
      const at = offset + 3 * a * UNKNOWNS + 3 * b;
      parts[at]! += value;
      parts[at + 25]! += value;
      parts[at + 50]! += value;
    }
  }
}
