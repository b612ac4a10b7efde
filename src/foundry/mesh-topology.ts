/** Corners of a mesh that lie in one place, as one vertex each. */
export interface WeldedMesh {
  /** Vertex numbers, three a triangle. */
  corners: Int32Array;
  vertices: number;
}

/** Gives corners at exactly the same place the same number, by open addressing on the bits of x, y and z. */
export function weld(coordinates: Float64Array): WeldedMesh {
  const count = coordinates.length / 3;
  const bits = new Uint32Array(coordinates.buffer, coordinates.byteOffset, coordinates.length * 2);
  let size = 1;
  while (size < 2 * count) size *= 2;
  const mask = size - 1;
  // First corner found in each slot, plus one; zero is an empty slot.
  const slots = new Int32Array(size);
  const corners = new Int32Array(count);
  let vertices = 0;
  for (let i = 0; i < count; i++) {
    let hash = 0x811c9dc5;
    for (let k = 6 * i; k < 6 * i + 6; k++) hash = Math.imul(hash ^ bits[k]!, 0x01000193) ^ (hash >>> 15);
    let slot = (hash ^ (hash >>> 13)) & mask;
    while (slots[slot] !== 0 && !samePlace(coordinates, slots[slot]! - 1, i)) slot = (slot + 1) & mask;
    if (slots[slot] === 0) {
      slots[slot] = i + 1;
      corners[i] = vertices++;
    } else corners[i] = corners[slots[slot]! - 1]!;
  }
  return { corners, vertices };
}

function samePlace(coordinates: Float64Array, a: number, b: number): boolean {
  return (
    coordinates[3 * a] === coordinates[3 * b] &&
    coordinates[3 * a + 1] === coordinates[3 * b + 1] &&
    coordinates[3 * a + 2] === coordinates[3 * b + 2]
  );
}

export interface EdgeFaults {
  /** Edges with an odd number of triangles: the surface has a hole or a flap there. */
  open: number;
  /** Edges that their triangles run through in the same direction: one of them is turned over. */
  turned: number;
}

/**
 * Counts the edges that are not run through as often one way as the other, which is what a closed surface with one
 * outside does at every edge. Triangles without area (two corners in one place) are passed over.
 */
export function findEdgeFaults({ corners, vertices }: WeldedMesh): EdgeFaults {
  const edges = new Float64Array(corners.length);
  let count = 0;
  for (let t = 0; t < corners.length; t += 3) {
    if (isDegenerate(corners, t)) continue;
    for (let k = 0; k < 3; k++) {
      const from = corners[t + k]!;
      const to = corners[t + ((k + 1) % 3)]!;
      // The edge and, in the last bit, the direction; exact in a double up to 2^26 vertices.
      edges[count++] = 2 * (Math.min(from, to) * vertices + Math.max(from, to)) + (from < to ? 1 : 0);
    }
  }
  const sorted = edges.subarray(0, count).sort();
  const faults = { open: 0, turned: 0 };
  for (let i = 0; i < count; ) {
    const edge = Math.floor(sorted[i]! / 2);
    let forward = 0;
    let all = 0;
    for (; i < count && Math.floor(sorted[i]! / 2) === edge; i++, all++) forward += sorted[i]! % 2;
    if (2 * forward === all) continue;
    if (all % 2 === 1) faults.open++;
    else faults.turned++;
  }
  return faults;
}

function isDegenerate(corners: Int32Array, t: number): boolean {
  const [a, b, c] = [corners[t], corners[t + 1], corners[t + 2]];
  return a === b || b === c || c === a;
}

/** Number of the connected shell that each triangle belongs to, and how many shells there are. */
export function findShells({ corners, vertices }: WeldedMesh): { shellOf: Int32Array; shells: number } {
  const parent = Int32Array.from({ length: vertices }, (_, i) => i);
  const root = (vertex: number): number => {
    let v = vertex;
    while (parent[v] !== v) {
      parent[v] = parent[parent[v]!]!;
      v = parent[v]!;
    }
    return v;
  };
  for (let t = 0; t < corners.length; t += 3) {
    parent[root(corners[t + 1]!)] = root(corners[t]!);
    parent[root(corners[t + 2]!)] = root(corners[t]!);
  }
  const numbers = new Map<number, number>();
  const shellOf = new Int32Array(corners.length / 3);
  for (let t = 0; t < shellOf.length; t++) {
    const top = root(corners[3 * t]!);
    if (!numbers.has(top)) numbers.set(top, numbers.size);
    shellOf[t] = numbers.get(top)!;
  }
  return { shellOf, shells: numbers.size };
}
