import { InvalidShapeError } from "../error.ts";
import { wallsOfCsv } from "./csv.ts";
import { outlineOfDxf } from "./dxf.ts";
import { wallsOfJson } from "./json.ts";
import { profileOfMesh } from "./mesh-walls.ts";
import { wallsOfOutline } from "./outline.ts";
import type { Profile } from "./profile.ts";
import { stlForm, stlTriangles } from "./stl.ts";
import { outlineOfSvg } from "./svg.ts";

export interface ReadOptions {
  /** What one unit of the file is, m; null where the user did not say. */
  readonly metresPerUnit: number | null;
  /** Whose size it is; null where the user did not say. */
  readonly sizeOf: Profile["sizeOf"] | null;
}

/** A profile from the bytes of a file, its form told by them. @throws InvalidShapeError in one sentence */
export function readProfile(bytes: Uint8Array, options: ReadOptions): Profile {
  const profile = formed(bytes, options);
  if (profile.outer.rM.length < 2 || profile.inner.rM.length < 2) {
    throw new InvalidShapeError("both walls are needed, each of two points or more; add what is missing");
  }
  return profile;
}

function formed(bytes: Uint8Array, { metresPerUnit, sizeOf }: ReadOptions): Profile {
  const form = stlForm(bytes);
  if (form !== null) {
    const triangles = stlTriangles(bytes, form);
    if (metresPerUnit === null) {
      throw new InvalidShapeError("a mesh does not say what its unit is; say it, as in --unit mm");
    }
    if (sizeOf === null) {
      throw new InvalidShapeError(
        "a mesh does not say whether it is larger than the casting; say by how much, as in --contraction 1.5%, or --contraction 0%",
      );
    }
    return { ...profileOfMesh(triangles, metresPerUnit), sizeOf };
  }
  const text = new TextDecoder().decode(bytes);
  const rest = { sizeOf: sizeOf ?? ("casting" as const), ripples: [], notes: [] };
  if (/^\s*\{/.test(text)) return { ...wallsOfJson(text, metresPerUnit ?? 1e-3), ...rest };
  const svg = /<svg\b/i.test(text.slice(0, 4096));
  if (!svg && !/^\s*(?:999\s*\n[^\n]*\n\s*)*0\s*\r?\n\s*SECTION\b/.test(text)) {
    return { ...wallsOfCsv(text, metresPerUnit ?? 1e-3), ...rest };
  }
  const { points, metresPerUnit: own } = svg ? outlineOfSvg(text) : outlineOfDxf(text);
  const unit = metresPerUnit ?? own;
  if (unit === null) {
    throw new InvalidShapeError("the drawing does not say what its unit is; say it, as in --unit mm");
  }
  return { ...wallsOfOutline(points.map(([r, z]) => [unit * r, unit * z])), ...rest };
}
