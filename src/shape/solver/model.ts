import { InvalidShapeError } from "../error.ts";
import { axisNodes, elementCount, extentM, type Mesh, nodeCount } from "../mesh/mesh.ts";
import { type BandMatrix, bandMatrix } from "./band.ts";
import { ENTRIES, elementMatrices, PARTS, UNKNOWNS } from "./element-matrices.ts";
import { type LanczosSpace, lanczosSpace } from "./lanczos.ts";
import type { Material } from "./material.ts";

/** A meshed body of one material, with room for the matrices of one harmonic at a time. */
export interface Model {
  readonly mesh: Mesh;
  readonly material: Material;
  /** K0, K1, K2, M of each element. */
  readonly parts: Float64Array;
  /** 1 for nodes on the axis, 1 for nodes that are held. */
  readonly onAxis: Uint8Array;
  readonly held: Uint8Array;
  readonly extentM: number;
  readonly stiffness: BandMatrix;
  readonly mass: BandMatrix;
  readonly space: LanczosSpace;
}

/** @param held nodes that do not move, 1 each; without it the body is free */
export function buildModel(
  mesh: Mesh,
  material: Material,
  held: Uint8Array = new Uint8Array(nodeCount(mesh)),
): Model {
  const size = 3 * nodeCount(mesh);
  const band = halfBand(mesh);
  return {
    mesh,
    material,
    parts: elementMatrices(mesh, material),
    onAxis: axisNodes(mesh),
    held,
    extentM: extentM(mesh),
    stiffness: bandMatrix(size, band),
    mass: bandMatrix(size, band),
    space: lanczosSpace(size),
  };
}

function halfBand({ elements }: Mesh): number {
  let widest = 0;
  for (let e = 0; e < elements.length; e += 8) {
    let [low, high] = [elements[e]!, elements[e]!];
    for (let k = 1; k < 8; k++) {
      low = Math.min(low, elements[e + k]!);
      high = Math.max(high, elements[e + k]!);
    }
    widest = Math.max(widest, high - low);
  }
  return 3 * widest + 2;
}

const stiffnessOf = new Float64Array(ENTRIES);
const massOf = new Float64Array(ENTRIES);

/**
 * Fills `stiffness` with K(m) - shift M and `mass` with M. What the axis or a hold forbids keeps a 1 on the diagonal of the
 * former and nothing in the latter, so it takes no part.
 */
export function assemble(model: Model, m: number, shift: number): void {
  const { mesh, parts, stiffness, mass } = model;
  stiffness.values.fill(0);
  mass.values.fill(0);
  for (let e = 0; e < elementCount(mesh); e++) {
    const at = e * PARTS;
    for (let i = 0; i < ENTRIES; i++) {
      massOf[i] = parts[at + 3 * ENTRIES + i]!;
      stiffnessOf[i] =
        parts[at + i]! +
        m * (parts[at + ENTRIES + i]! + m * parts[at + 2 * ENTRIES + i]!) -
        shift * massOf[i]!;
    }
    for (let k = 0; k < 8; k++) restrict(model, m, mesh.elements[8 * e + k]!, k);
    addElement(mesh, e, stiffnessOf, stiffness);
    addElement(mesh, e, massOf, mass);
  }
  const { size, band, values } = stiffness;
  for (let i = 0; i < size; i++) {
    const diagonal = i * (band + 1) + band;
    if (values[diagonal] === 0) values[diagonal] = 1;
  }
}

/** The conditions of one node of the element at hand. */
function restrict({ onAxis, held }: Model, m: number, node: number, local: number): void {
  // On the axis a motion must be single-valued: along it (m = 0), across it with V = -U (m = 1), none (m > 1).
  if (held[node] || (onAxis[node] && m > 1)) removeRows(local, 0, 3);
  else if (onAxis[node] && m === 0) removeRows(local, 0, 2);
  else if (onAxis[node]) {
    joinAcross(stiffnessOf, local);
    joinAcross(massOf, local);
    removeRows(local, 1, 3);
  }
}

/** V = -U: row and column of V are taken from those of U. */
function joinAcross(matrix: Float64Array, local: number): void {
  const [u, v] = [3 * local, 3 * local + 1];
  for (let j = 0; j < UNKNOWNS; j++) matrix[u * UNKNOWNS + j]! -= matrix[v * UNKNOWNS + j]!;
  for (let j = 0; j < UNKNOWNS; j++) matrix[j * UNKNOWNS + u]! -= matrix[j * UNKNOWNS + v]!;
}

function removeRows(local: number, from: number, to: number): void {
  for (let c = 3 * local + from; c < 3 * local + to; c++) {
    for (let j = 0; j < UNKNOWNS; j++) {
      stiffnessOf[c * UNKNOWNS + j] = 0;
      stiffnessOf[j * UNKNOWNS + c] = 0;
      massOf[c * UNKNOWNS + j] = 0;
      massOf[j * UNKNOWNS + c] = 0;
    }
  }
}

function addElement(mesh: Mesh, e: number, matrix: Float64Array, { band, values }: BandMatrix): void {
  for (let a = 0; a < 8; a++) {
    const rowNode = 3 * mesh.elements[8 * e + a]!;
    for (let b = 0; b < 8; b++) {
      const columnNode = 3 * mesh.elements[8 * e + b]!;
      if (columnNode > rowNode) continue;
      for (let x = 0; x < 3; x++) {
        const i = rowNode + x;
        for (let y = 0; y < 3; y++) {
          const j = columnNode + y;
          if (j <= i) values[i * (band + 1) + j - i + band]! += matrix[(3 * a + x) * UNKNOWNS + 3 * b + y]!;
        }
      }
    }
  }
}

/** The unknowns that the conditions left out are set from those that stand for them. */
export function restore(model: Model, m: number, vector: Float64Array): void {
  if (m !== 1) return;
  for (let k = 0; k < model.onAxis.length; k++) {
    if (model.onAxis[k] && !model.held[k]) vector[3 * k + 1] = -vector[3 * k]!;
  }
}

/** @throws InvalidShapeError where the matrices are beyond arithmetic */
export function notSolvable(): never {
  throw new InvalidShapeError(
    "the equations of this profile cannot be solved; look for a wall of no thickness or parts of very different size",
  );
}
