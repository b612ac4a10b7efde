import { InvalidShapeError } from "../error.ts";
import { wallsOfCsv } from "./csv.ts";
import type { Profile } from "./profile.ts";

export interface ReadOptions {
  /** What one unit of the file is, m; null where the user did not say. */
  readonly metresPerUnit: number | null;
  /** Whose size it is; null where the user did not say. */
  readonly sizeOf: Profile["sizeOf"] | null;
}

/** A profile from the bytes of a file, its form told by them. @throws InvalidShapeError in one sentence */
export function readProfile(bytes: Uint8Array, { metresPerUnit, sizeOf }: ReadOptions): Profile {
  const text = new TextDecoder().decode(bytes);
  const walls = wallsOfCsv(text, metresPerUnit ?? 1e-3);
  if (walls.outer.rM.length < 2 || walls.inner.rM.length < 2) {
    throw new InvalidShapeError("both walls are needed, each of two points or more; add what is missing");
  }
  return { ...walls, sizeOf: sizeOf ?? "casting", ripples: [], notes: [] };
}
