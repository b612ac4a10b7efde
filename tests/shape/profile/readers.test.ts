import { describe, expect, it } from "vitest";
import { InvalidShapeError } from "../../../src/shape/error.ts";
import { forecast, profileDxf, profileStl, profileSvg, readProfile } from "../../../src/shape/index.ts";
import type { Profile } from "../../../src/shape/profile/profile.ts";
import { bellProfile } from "../support/bells.ts";

const asked = { metresPerUnit: 1e-3, sizeOf: "casting" as const };
const bytesOf = (text: string) => new TextEncoder().encode(text);

/** Frequencies of the lowest two at 2, 3 and 4 waves, Hz. */
function partials(profile: Profile): number[] {
  const exact = (value: number) => ({ value, ci95: 0 });
  const { result } = forecast({
    file: "bell",
    profile,
    contraction: exact(0),
    metal: { youngGPa: exact(97), densityKgM3: exact(8700), poisson: exact(0.34), source: "as given" },
    harmonics: [2, 3, 4],
    each: 2,
    heldCrownM: null,
    ripples: [],
  });
  return result.modes.map(({ frequencyHz }) => frequencyHz.value);
}

/** Most that any partial of one is off the other's, cents. */
function apart(one: Profile, other: Profile): number {
  const hz = partials(other);
  return Math.max(...partials(one).map((each, i) => Math.abs(1200 * Math.log2(each / hz[i]!))));
}

/** The mesh turned, moved and with `change` done to each corner, mm. */
function moved(stl: Uint8Array, change: (x: number, y: number, z: number) => [number, number, number]) {
  const bytes = stl.slice();
  const view = new DataView(bytes.buffer);
  for (let i = 0; i < view.getUint32(80, true); i++) {
    for (let k = 0; k < 3; k++) {
      const at = 84 + 50 * i + 12 + 12 * k;
      const [x, y, z] = [0, 4, 8].map((step) => view.getFloat32(at + step, true)) as [number, number, number];
      change(x, y, z).forEach((value, j) => {
        view.setFloat32(at + 4 * j, value, true);
      });
    }
  }
  return bytes;
}

describe("profiles in every form", () => {
  it.each(["church", "hobby"] as const)("reads the %s bell back from drawings and from a solid", (name) => {
    const bell = bellProfile(name);
    const forms = {
      svg: bytesOf(profileSvg(bell)),
      dxf: bytesOf(profileDxf(bell)),
      stl: profileStl(bell),
    };
    for (const [form, bytes] of Object.entries(forms)) {
      expect(apart(readProfile(bytes, asked), bell), form).toBeLessThan(1);
    }
  });

  it.each([0, 0.4])("finds the axis of a tilted pattern, and ridges of %f mm at the lip", (heightMm) => {
    const bell = bellProfile("hobby");
    const [c, s] = [Math.cos(0.3), Math.sin(0.3)];
    const stl = moved(profileStl(bell), (x, y, z) => {
      // Ridges on both walls, as a wall of even thickness has them; less where the bell is narrower.
      const ridge = 1 + (heightMm / 50) * Math.cos(12 * Math.atan2(y, x) + 0.7);
      const [rx, ry] = [x * ridge, y * ridge];
      return [40 + c * rx + s * z, ry - 17, 8 - s * rx + c * z];
    });
    const profile = readProfile(stl, asked);
    expect(profile.ripples.map(({ count }) => count)).toEqual(heightMm > 0 ? [12, 12] : []);
    for (const { amplitudeM } of profile.ripples) {
      // Their mean over the wall: below what they are at the lip, above a quarter of it.
      expect(amplitudeM).toBeLessThan(1e-3 * heightMm);
      expect(amplitudeM).toBeGreaterThan(0.25e-3 * heightMm);
    }
    if (heightMm === 0) expect(apart(profile, bell)).toBeLessThan(1);
  });

  it("asks what a mesh cannot know", () => {
    const stl = profileStl(bellProfile("hobby"));
    expect(() => readProfile(stl, { ...asked, metresPerUnit: null })).toThrow(/--unit/);
    expect(() => readProfile(stl, { ...asked, sizeOf: null })).toThrow(/--contraction/);
  });

  it("gives a sentence or a profile for any bytes", () => {
    let seed = 7;
    const next = (below: number) => {
      seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
      return Math.floor((seed / 2 ** 32) * below);
    };
    const bell = bellProfile("hobby");
    const solid = [
      "solid a",
      ...Array.from({ length: 120 }, (_, i) => `facet\nvertex ${i} 0 1\nvertex 0 ${i} 2\nvertex 1 1 ${i}`),
    ];
    const seeds = [
      profileSvg(bell),
      profileDxf(bell),
      solid.join("\n"),
      '{"outer":[[0,1],[2,3]],"inner":[[0,0],[1,1]]}',
    ].map(bytesOf);
    for (let round = 0; round < 300; round++) {
      const from = seeds[round % seeds.length]!;
      const bytes = from.slice(0, next(5) === 0 ? next(from.length) : from.length);
      for (let k = next(12); k >= 0 && bytes.length > 0; k--) bytes[next(bytes.length)] = next(256);
      try {
        const { outer, inner } = readProfile(bytes, asked);
        expect([...outer.rM, ...outer.zM, ...inner.rM, ...inner.zM].every(Number.isFinite)).toBe(true);
      } catch (error) {
        expect(error, String(error instanceof Error && error.stack)).toBeInstanceOf(InvalidShapeError);
      }
    }
  });
});
