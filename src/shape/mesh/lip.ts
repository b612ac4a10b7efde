import type { Profile } from "../profile/profile.ts";
import { type Curve, corners, curveOf, joined, lengthM, pointAt, reversed, stretch } from "./curve.ts";
import { smoothLine } from "./smooth-line.ts";

/**
 * The two walls that are paired, and what closes the section at either end: from the outer wall's end round to the inner
 * wall's. A face that a wall's line runs on into is cut from the wall and becomes part of the end.
 */
export interface Walls {
  readonly outer: Curve;
  readonly inner: Curve;
  readonly crownEnd: Curve;
  readonly lipEnd: Curve;
}

/** A corner this near to the end, in walls' thicknesses, belongs to the end face. */
const FACE = 1.6;

/** The walls of a profile with their end faces found. */
export function wallsOf(profile: Profile): Walls {
  const lip = cutFace(
    reversed(curveOf(smoothLine(profile.outer))),
    reversed(curveOf(smoothLine(profile.inner))),
  );
  const crown = cutFace(reversed(lip.outer), reversed(lip.inner));
  return { outer: crown.outer, inner: crown.inner, crownEnd: crown.face, lipEnd: lip.face };
}

/** Cuts the face off two lines that begin at an end. */
function cutFace(outer: Curve, inner: Curve): { outer: Curve; inner: Curve; face: Curve } {
  const thickness = thicknessNear(outer, inner);
  const outerAt = faceEnd(outer, thickness);
  const innerAt = faceEnd(inner, thickness);
  return {
    outer: stretch(outer, outerAt, lengthM(outer)),
    inner: stretch(inner, innerAt, lengthM(inner)),
    face: joined(reversed(headOf(outer, outerAt)), headOf(inner, innerAt)),
  };
}

function headOf(curve: Curve, toM: number): Curve {
  if (toM > 0) return stretch(curve, 0, toM);
  return {
    rM: curve.rM.slice(0, 1),
    zM: curve.zM.slice(0, 1),
    alongM: curve.alongM.slice(0, 1),
  };
}

/** On the axis there is no face: the section is closed by turning it. */
function faceEnd(curve: Curve, thickness: number): number {
  if (curve.rM[0]! <= 1e-6 * lengthM(curve)) return 0;
  const near = corners(curve).filter((at) => at < FACE * thickness && at < 0.2 * lengthM(curve));
  return near.at(-1) ?? 0;
}

/** How far apart the walls are a little way in from the end, m. */
function thicknessNear(outer: Curve, inner: Curve): number {
  const at = 0.06 * Math.min(lengthM(outer), lengthM(inner));
  const [r, z] = pointAt(outer, at);
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i < 200; i++) {
    const [innerR, innerZ] = pointAt(inner, (i / 400) * lengthM(inner));
    least = Math.min(least, Math.hypot(innerR - r, innerZ - z));
  }
  return least;
}
