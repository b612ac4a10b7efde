import { InvalidPlanError } from "./error.ts";

/** Triangles as the file gives them: nine numbers each, three corners of x, y, z, in the file's own unit. */
export interface TriangleMesh {
  coordinates: Float64Array;
  triangles: number;
}

const HEADER_BYTES = 80;
const COUNT_BYTES = 4;
const TRIANGLE_BYTES = 50;
const NORMAL_BYTES = 12;
/** Far beyond what a bell needs; a larger file is a mistake of the export or of the choice of file. */
const MOST_TRIANGLES = 5_000_000;
const MOST_TEXT_BYTES = 400_000_000;

/**
 * Reads an STL file, binary or ASCII; normals and colours in it are passed over, the order of the corners counts.
 * The length of the file decides which it is, since binary files too may begin with "solid".
 *
 * @throws InvalidPlanError where it is neither, cut short, too large, or holds numbers that are none.
 */
export function readStl(bytes: Uint8Array): TriangleMesh {
  const declared = declaredTriangles(bytes);
  if (declared !== null && bytes.length === binaryLength(declared)) return readBinary(bytes, declared);
  if (looksLikeText(bytes)) return readText(bytes);
  if (declared === null)
    throw new InvalidPlanError("the mesh is no STL file: it is shorter than an STL header");
  if (bytes.length < binaryLength(declared)) {
    throw new InvalidPlanError(
      `the mesh is cut short or no STL file: its header announces ${declared} triangles, and it holds ${Math.floor((bytes.length - HEADER_BYTES - COUNT_BYTES) / TRIANGLE_BYTES)}; export it again`,
    );
  }
  throw new InvalidPlanError(
    `the mesh goes on after the ${declared} triangles that its header announces; export it again`,
  );
}

function declaredTriangles(bytes: Uint8Array): number | null {
  if (bytes.length < HEADER_BYTES + COUNT_BYTES) return null;
  return new DataView(bytes.buffer, bytes.byteOffset).getUint32(HEADER_BYTES, true);
}

function binaryLength(triangles: number): number {
  return HEADER_BYTES + COUNT_BYTES + triangles * TRIANGLE_BYTES;
}

function looksLikeText(bytes: Uint8Array): boolean {
  // A byte order mark, as some programs write, is three letters in this encoding.
  return /^(ï»¿)?\s*solid\b/i.test(new TextDecoder("latin1").decode(bytes.subarray(0, 256)));
}

function checkCount(triangles: number): void {
  if (triangles === 0)
    throw new InvalidPlanError("the mesh holds no triangle; export the solid, not an empty layer");
  if (triangles > MOST_TRIANGLES) {
    throw new InvalidPlanError(
      `the mesh holds ${triangles} triangles, more than ${MOST_TRIANGLES}; export it with a coarser tolerance`,
    );
  }
}

function readBinary(bytes: Uint8Array, triangles: number): TriangleMesh {
  checkCount(triangles);
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  const coordinates = new Float64Array(triangles * 9);
  let at = HEADER_BYTES + COUNT_BYTES;
  let put = 0;
  for (let i = 0; i < triangles; i++, at += TRIANGLE_BYTES) {
    for (let k = 0; k < 9; k++) coordinates[put++] = view.getFloat32(at + NORMAL_BYTES + 4 * k, true);
  }
  return checked(coordinates);
}

function readText(bytes: Uint8Array): TriangleMesh {
  if (bytes.length > MOST_TEXT_BYTES) {
    throw new InvalidPlanError("the mesh is an ASCII STL file larger than 400 MB; export it as binary STL");
  }
  const text = new TextDecoder().decode(bytes);
  const values: number[] = [];
  let facet = 0;
  let corners = 0;
  let ended = false;
  for (const match of text.matchAll(/\b(endsolid|facet|endfacet)\b|\bvertex\s+(\S+)\s+(\S+)\s+(\S+)/gi)) {
    const word = match[1]?.toLowerCase();
    if (word === undefined) {
      corners++;
      values.push(Number(match[2]), Number(match[3]), Number(match[4]));
    } else if (word === "facet") {
      facet++;
      corners = 0;
    } else if (word === "endfacet") {
      if (corners !== 3) {
        throw new InvalidPlanError(
          `facet ${facet} of the mesh has ${corners} corners instead of 3; export it as STL again`,
        );
      }
    } else ended = true;
  }
  if (!ended || values.length !== facet * 9) {
    throw new InvalidPlanError(
      `the mesh is cut short or no STL file: it begins as ASCII STL and does not end as one after ${facet} facets; export it again`,
    );
  }
  checkCount(facet);
  return checked(Float64Array.from(values));
}

function checked(coordinates: Float64Array): TriangleMesh {
  for (let i = 0; i < coordinates.length; i++) {
    // Negative zero is the same place as zero.
    coordinates[i]! += 0;
    if (!Number.isFinite(coordinates[i])) {
      throw new InvalidPlanError(
        `triangle ${Math.floor(i / 9) + 1} of the mesh has a corner that is no number; export it again`,
      );
    }
  }
  return { coordinates, triangles: coordinates.length / 9 };
}
