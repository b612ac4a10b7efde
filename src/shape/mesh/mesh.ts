/**
 * The half section of a body of revolution, cut into 8-node quadrilaterals (serendipity). Lengths in metres.
 *
 * Nodes are numbered through the wall first, so that the matrices have a narrow band.
 */
export interface Mesh {
  /** Radius and height of every node. */
  readonly rM: Float64Array;
  readonly zM: Float64Array;
  /** Eight nodes an element: four corners anticlockwise in (r, z), then the middles of the sides after each corner. */
  readonly elements: Int32Array;
}

/** A mesh swept from wall to wall: which node lies where. */
export interface WallMesh extends Mesh {
  /** Stations along the wall, from the crown to the lip; odd. */
  readonly columns: number;
  /** Nodes across the wall, outer first; odd. */
  readonly rows: number;
  /** Node of station and row at `column * rows + row`; -1 where an 8-node element has none. */
  readonly lattice: Int32Array;
}

/** What all points of the axis share, relative to the size of the section. */
const ON_AXIS = 1e-9;

export function nodeCount(mesh: Mesh): number {
  return mesh.rM.length;
}

export function elementCount(mesh: Mesh): number {
  return mesh.elements.length / 8;
}

/** Largest extent of the section, m; does not depend on where z is counted from. */
export function extentM({ rM, zM }: Mesh): number {
  let [radius, low, high] = [0, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (let k = 0; k < rM.length; k++) {
    radius = Math.max(radius, rM[k]!);
    low = Math.min(low, zM[k]!);
    high = Math.max(high, zM[k]!);
  }
  return Math.max(radius, high - low);
}

/** 1 for each node on the axis of revolution. */
export function axisNodes(mesh: Mesh): Uint8Array {
  const limit = ON_AXIS * extentM(mesh);
  return Uint8Array.from(mesh.rM, (r) => (Math.abs(r) <= limit ? 1 : 0));
}
