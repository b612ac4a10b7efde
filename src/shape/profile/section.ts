import type { Profile } from "./profile.ts";

/** The half section as one line, mm: down the outer wall and up the inner. Not closed. */
export function sectionMm({ outer, inner }: Profile): [rMm: number, zMm: number][] {
  const points = ({ rM, zM }: Profile["outer"]): [number, number][] =>
    Array.from(rM, (r, i) => [1000 * r, 1000 * zM[i]!]);
  return [...points(outer), ...points(inner).reverse()];
}
