import { expect, it } from "vitest";
import { InvalidShapeError } from "../../../src/shape/error.ts";
import { profileStl, readProfile } from "../../../src/shape/index.ts";
import { bellProfile } from "../support/bells.ts";

const asked = { metresPerUnit: 1e-3, sizeOf: "casting" as const };

/** A mesh with a block on it, from one corner to the other, mm. */
function withBlock(stl: Uint8Array, from: readonly number[], to: readonly number[]): Uint8Array {
  const corner = (k: number) => [0, 1, 2].map((axis) => ((k >> axis) & 1 ? to[axis]! : from[axis]!));
  const faces = ["013", "032", "465", "476", "051", "045", "273", "267", "042", "246", "153", "357"];
  const bytes = new Uint8Array(stl.length + 50 * faces.length);
  bytes.set(stl);
  const view = new DataView(bytes.buffer);
  view.setUint32(80, view.getUint32(80, true) + faces.length, true);
  faces.forEach((face, i) => {
    const numbers = [...face].flatMap((k) => corner(Number(k)));
    numbers.forEach((value, k) => {
      view.setFloat32(stl.length + 50 * i + 12 + 4 * k, value, true);
    });
  });
  return bytes;
}

it("leaves a lug on the side out of the walls, and says where it is", () => {
  const bell = bellProfile("hobby");
  const bare = readProfile(profileStl(bell), asked);
  const lip = 1000 * Math.min(...bell.outer.zM);
  // Ten millimetres wide, standing out at mid height from within the wall.
  const lugged = readProfile(withBlock(profileStl(bell), [30, -5, lip + 30], [70, 5, lip + 40]), asked);
  expect(lugged.notes.map(({ code }) => code)).toContain("left-out");
  const widest = (line: { rM: Float64Array }) => Math.max(...line.rM);
  expect(widest(lugged.outer)).toBeCloseTo(widest(bare.outer), 5);
  expect(bare.notes.map(({ code }) => code)).not.toContain("left-out");
});

it("gives a sentence or a profile for any mesh", () => {
  let seed = 11;
  const next = (below: number) => {
    seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
    return Math.floor((seed / 2 ** 32) * below);
  };
  for (let round = 0; round < 16; round++) {
    // Triangles anywhere: soups, flat sheets, needles, and floats of any bits.
    const count = 100 + next(60);
    const bytes = new Uint8Array(84 + 50 * count);
    const view = new DataView(bytes.buffer);
    view.setUint32(80, count, true);
    for (let i = 0; i < count; i++) {
      for (let k = 0; k < 9; k++) {
        const value = [next(100), k % 3 === 2 ? 0 : next(50), next(3), i][round % 4]!;
        view.setFloat32(84 + 50 * i + 12 + 4 * k, value, true);
      }
    }
    if (round % 5 === 0) bytes[84 + next(bytes.length - 84)] = next(256);
    try {
      const { outer, inner } = readProfile(bytes, asked);
      expect([...outer.rM, ...outer.zM, ...inner.rM, ...inner.zM].every(Number.isFinite)).toBe(true);
    } catch (error) {
      expect(error, String(error instanceof Error && error.stack)).toBeInstanceOf(InvalidShapeError);
    }
  }
});
