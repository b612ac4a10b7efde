import { InvalidShapeError } from "../error.ts";

/** Triangles beyond what a pattern of a bell needs. */
const MOST_TRIANGLES = 3_000_000;
const HEADER_BYTES = 84;
const TRIANGLE_BYTES = 50;

/** Whether the bytes are a mesh, and in which of its two forms. */
export function stlForm(bytes: Uint8Array): "binary" | "ascii" | null {
  const head = new TextDecoder().decode(bytes.subarray(0, 1024));
  if (/^\s*solid\b[\s\S]*\b(facet|endsolid)\b/i.test(head)) return "ascii";
  if (bytes.length < HEADER_BYTES) return null;
  const count = new DataView(bytes.buffer, bytes.byteOffset).getUint32(80, true);
  if (HEADER_BYTES + TRIANGLE_BYTES * count === bytes.length) return "binary";
  // A file cut short still begins as one: zeros or control characters are in no text.
  return head.includes("\0") ? "binary" : null;
}

/** Corners of all triangles, nine numbers each, in the units of the file. @throws InvalidShapeError */
export function stlTriangles(bytes: Uint8Array, form: "binary" | "ascii"): Float64Array {
  const corners = form === "binary" ? binaryCorners(bytes) : asciiCorners(bytes);
  if (corners.length < 9 * 100) {
    throw new InvalidShapeError(
      `the mesh has ${corners.length / 9} triangles, too few to be a bell; export the pattern anew`,
    );
  }
  for (let i = 0; i < corners.length; i++) {
    if (!(Math.abs(corners[i]!) < 1e9)) {
      throw new InvalidShapeError(
        `triangle ${Math.floor(i / 9) + 1} of the mesh has a corner that is no number; export it anew`,
      );
    }
  }
  return corners;
}

function binaryCorners(bytes: Uint8Array): Float64Array {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const count = view.getUint32(80, true);
  if (HEADER_BYTES + TRIANGLE_BYTES * count > bytes.length) {
    throw new InvalidShapeError(
      `the mesh is cut short: it holds fewer than the ${count} triangles that it announces, or is none; export it anew`,
    );
  }
  checkCount(count);
  const corners = new Float64Array(9 * count);
  for (let i = 0; i < count; i++) {
    const from = HEADER_BYTES + TRIANGLE_BYTES * i + 12;
    for (let k = 0; k < 9; k++) corners[9 * i + k] = view.getFloat32(from + 4 * k, true);
  }
  return corners;
}

function asciiCorners(bytes: Uint8Array): Float64Array {
  const text = new TextDecoder().decode(bytes);
  const corners: number[] = [];
  for (const [, x, y, z] of text.matchAll(/\bvertex[ \t]+(\S+)[ \t]+(\S+)[ \t]+(\S+)/gi)) {
    corners.push(Number(x), Number(y), Number(z));
    checkCount(corners.length / 9);
  }
  if (corners.length % 9 !== 0) {
    throw new InvalidShapeError("the mesh is cut short: its last triangle lacks a corner; export it anew");
  }
  return Float64Array.from(corners);
}

function checkCount(count: number): void {
  if (count <= MOST_TRIANGLES) return;
  throw new InvalidShapeError(
    `the mesh has more than ${MOST_TRIANGLES} triangles; export it coarser, a hundred thousand are enough`,
  );
}
