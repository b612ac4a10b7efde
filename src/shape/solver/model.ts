import { InvalidShapeError } from "../error.ts";
import { axisNodes, elementCount, extentM, type Mesh, nodeCount } from "../mesh/mesh.ts";
import { type BandMatrix, bandMatrix, multiplyNodes } from "./band.ts";
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
  /** A row for each node: U, V and W have the same mass. */
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
  const widest = widestStep(mesh);
  const parts = elementMatrices(mesh, material);
  return {
    mesh,
    material,
    parts,
    onAxis: axisNodes(mesh),
    held,
    extentM: extentM(mesh),
    stiffness: bandMatrix(size, 3 * widest + 2),
    mass: massMatrix(mesh, parts, widest),
    space: lanczosSpace(size),
  };
}

/** Largest difference of node numbers within one element. */
function widestStep({ elements }: Mesh): number {
  let widest = 0;
  for (let e = 0; e < elements.length; e += 8) {
    let [low, high] = [elements[e]!, elements[e]!];
    for (let k = 1; k < 8; k++) {
      low = Math.min(low, elements[e + k]!);
      high = Math.max(high, elements[e + k]!);
    }
    widest = Math.max(widest, high - low);
  }
  return widest;
}

function massMatrix(mesh: Mesh, parts: Float64Array, band: number): BandMatrix {
  const mass = bandMatrix(nodeCount(mesh), band);
  for (let e = 0; e < elementCount(mesh); e++) {
    for (let a = 0; a < 8; a++) {
      const i = mesh.elements[8 * e + a]!;
      for (let b = 0; b < 8; b++) {
        const j = mesh.elements[8 * e + b]!;
        const value = parts[e * PARTS + 3 * ENTRIES + 3 * a * UNKNOWNS + 3 * b]!;
        if (j <= i) mass.values[i * (band + 1) + j - i + band]! += value;
      }
    }
  }
  return mass;
}

const stiffnessOf = new Float64Array(ENTRIES);

/**
 * Fills `stiffness` with K(m) - shift M. What the axis or a hold forbids keeps a 1 on the diagonal and takes no part, since
 * `massTimes` gives it no mass.
 */
export function assemble(model: Model, m: number, shift: number): void {
  const { mesh, parts, stiffness } = model;
  stiffness.values.fill(0);
  for (let e = 0; e < elementCount(mesh); e++) {
    const at = e * PARTS;
    for (let i = 0; i < ENTRIES; i++) {
      stiffnessOf[i] =
        parts[at + i]! +
        m * (parts[at + ENTRIES + i]! + m * parts[at + 2 * ENTRIES + i]!) -
        shift * parts[at + 3 * ENTRIES + i]!;
    }
    for (let k = 0; k < 8; k++) restrict(model, m, mesh.elements[8 * e + k]!, k);
    addElement(mesh, e, stiffness);
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
    }
  }
}

function addElement(mesh: Mesh, e: number, { band, values }: BandMatrix): void {
  for (let a = 0; a < 8; a++) {
    const rowNode = 3 * mesh.elements[8 * e + a]!;
    for (let b = 0; b < 8; b++) {
      const columnNode = 3 * mesh.elements[8 * e + b]!;
      if (columnNode > rowNode) continue;
      for (let x = 0; x < 3; x++) {
        const i = rowNode + x;
        for (let y = 0; y < 3; y++) {
          const j = columnNode + y;
          if (j <= i)
            values[i * (band + 1) + j - i + band]! += stiffnessOf[(3 * a + x) * UNKNOWNS + 3 * b + y]!;
        }
      }
    }
  }
}

/** x of the motions that the conditions leave free becomes that of all; those they forbid are nothing. */
export function expand({ onAxis, held }: Model, m: number, x: Float64Array): void {
  for (let k = 0; k < onAxis.length; k++) {
    if (!held[k] && !onAxis[k]) continue;
    const free = held[k] ? -1 : m;
    if (free !== 1) x[3 * k] = 0;
    x[3 * k + 1] = free === 1 ? -x[3 * k]! : 0;
    if (free !== 0) x[3 * k + 2] = 0;
  }
}

/** The transpose of `expand`. */
function reduce({ onAxis, held }: Model, m: number, y: Float64Array): void {
  for (let k = 0; k < onAxis.length; k++) {
    if (!held[k] && !onAxis[k]) continue;
    const free = held[k] ? -1 : m;
    y[3 * k] = free === 1 ? y[3 * k]! - y[3 * k + 1]! : 0;
    y[3 * k + 1] = 0;
    if (free !== 0) y[3 * k + 2] = 0;
  }
}

/** y := M x under the conditions of harmonic m; x is expanded on the way. */
export function massTimes(model: Model, m: number, x: Float64Array, y: Float64Array): void {
  expand(model, m, x);
  multiplyNodes(model.mass, x, y);
  reduce(model, m, y);
}

/** @throws InvalidShapeError where the matrices are beyond arithmetic */
export function notSolvable(): never {
  throw new InvalidShapeError(
    "the equations of this profile cannot be solved; look for a wall of no thickness or parts of very different size",
  );
}
