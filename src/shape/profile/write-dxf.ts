import type { Profile } from "./profile.ts";
import { sectionMm } from "./section.ts";

/**
 * The half section as one closed polyline of an ASCII DXF (AutoCAD R12, which every reader takes; group codes from memory),
 * millimetres, r along x and z along y.
 */
export function profileDxf(profile: Profile): string {
  const pairs: [number, string][] = [
    [0, "SECTION"],
    [2, "HEADER"],
    [9, "$ACADVER"],
    [1, "AC1009"],
    [0, "ENDSEC"],
    [0, "SECTION"],
    [2, "ENTITIES"],
    [0, "POLYLINE"],
    [8, "section"],
    [66, "1"],
    [70, "1"],
    ...sectionMm(profile).flatMap(([r, z]): [number, string][] => [
      [0, "VERTEX"],
      [8, "section"],
      [10, r.toFixed(4)],
      [20, z.toFixed(4)],
      [30, "0.0"],
    ]),
    [0, "SEQEND"],
    [8, "section"],
    [0, "ENDSEC"],
    [0, "EOF"],
  ];
  return `${pairs.map(([code, value]) => `${code}\n${value}`).join("\n")}\n`;
}
