import { describe, expect, it } from "vitest";
import { meshVolume, readStl } from "../../../src/foundry/index.ts";
import { bodyOf } from "../../../src/shape/body.ts";
import { meshProfile, pairedProfile } from "../../../src/shape/mesh/wall-mesh.ts";
import { readProfile } from "../../../src/shape/profile/read-profile.ts";
import { profileCsv } from "../../../src/shape/profile/write-csv.ts";
import { profileDxf } from "../../../src/shape/profile/write-dxf.ts";
import { profileStl } from "../../../src/shape/profile/write-stl.ts";
import { profileSvg } from "../../../src/shape/profile/write-svg.ts";
import { bellProfile } from "../support/bells.ts";

const bell = bellProfile("church");

describe("the writers of profiles", () => {
  it("profileCsv writes what readProfile reads, to half a thousandth of a millimetre", () => {
    const bytes = new TextEncoder().encode(profileCsv(bell));
    const read = readProfile(bytes, { metresPerUnit: null, sizeOf: null });
    bell.outer.rM.forEach((r, i) => {
      expect(Math.abs(read.outer.rM[i]! - r)).toBeLessThanOrEqual(0.5001e-6);
    });
    bell.inner.zM.forEach((z, i) => {
      expect(Math.abs(read.inner.zM[i]! - z)).toBeLessThanOrEqual(0.5001e-6);
    });
  });

  it("profileStl writes a closed solid whose facets look outward, of the volume of the turned section", () => {
    const { volumeM3 } = bodyOf(meshProfile(pairedProfile(bell), 60, 3));
    const volume = meshVolume(readStl(profileStl(bell)), 1e-3);
    // A polygon of 144 sides has sin(x)/x of the circle's area, x = 2 pi / 144: 0.03 % less.
    expect(JSON.stringify(volume)).toMatch(/volumeM3/);
    const found = (volume as unknown as { volumeM3: number | { value: number } }).volumeM3;
    const value = typeof found === "number" ? found : found.value;
    expect(value / volumeM3).toBeGreaterThan(0.9985);
    expect(value / volumeM3).toBeLessThan(1.0005);
  });

  it("profileSvg draws both walls in millimetres, the mouth at its radius from the axis", () => {
    const svg = profileSvg(bell);
    expect(svg).toMatch(/width="420\.000mm"/);
    expect(svg.match(/ L /g)!.length).toBe(2 * 81 - 1);
    expect(svg).not.toMatch(/NaN/);
  });

  it("profileDxf writes pairs of a code and a value, with a vertex for each point", () => {
    const lines = profileDxf(bell).trimEnd().split("\n");
    expect(lines.length % 2).toBe(0);
    expect(lines.filter((line) => line === "VERTEX")).toHaveLength(2 * 81);
    expect(lines.slice(-2)).toEqual(["0", "EOF"]);
  });
});
