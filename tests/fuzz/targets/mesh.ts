import fc from "fast-check";
import { meshVolume, readStl } from "../../../src/foundry/index.ts";
import { frustumProfile, revolve } from "../../foundry/solids.ts";
import { mutated } from "../mutations.ts";
import { expectRefusal } from "../outcome.ts";
import { OutcomeError, type Target } from "../target.ts";

const TRIANGLES = revolve(frustumProfile([60, 55], [30, 27], 80), 6);

function binaryStl(coordinates: readonly number[]): Uint8Array {
  const count = coordinates.length / 9;
  const bytes = new Uint8Array(84 + 50 * count);
  const view = new DataView(bytes.buffer);
  view.setUint32(80, count, true);
  for (let t = 0; t < count; t++) {
    for (let k = 0; k < 9; k++) view.setFloat32(84 + 50 * t + 12 + 4 * k, coordinates[9 * t + k]!, true);
  }
  return bytes;
}

function asciiStl(coordinates: readonly number[]): Uint8Array {
  const lines = ["solid bell"];
  for (let t = 0; t < coordinates.length; t += 9) {
    lines.push("facet normal 0 0 1", "outer loop");
    for (let c = 0; c < 9; c += 3) lines.push(`vertex ${coordinates.slice(t + c, t + c + 3).join(" ")}`);
    lines.push("endloop", "endfacet");
  }
  return new TextEncoder().encode([...lines, "endsolid bell", ""].join("\n"));
}

const FILES = [binaryStl(TRIANGLES), asciiStl(TRIANGLES), binaryStl([])];

/** A closed mesh whose corners are moved, scaled or turned over, so that it stays closed and its volume is odd. */
const bent = fc
  .record({
    scale: fc.constantFrom(1e-30, 1e-12, 1e-3, 1, 1e6, 1e12, 1e25, 3e38),
    flat: fc.boolean(),
    shift: fc.constantFrom(0, 1e3, 1e9, 1e30),
    copies: fc.integer({ min: 1, max: 4 }),
  })
  .map(({ scale, flat, shift, copies }) =>
    binaryStl(
      Array.from({ length: copies }, (_, copy) =>
        TRIANGLES.map((value, i) => (flat && i % 3 === 2 ? 0 : value * scale) + shift * (copy + 1)),
      ).flat(),
    ),
  );

export const MESH_TARGET: Target<{ bytes: Uint8Array }> = {
  name: "stl",
  what: "bytes of STL meshes, binary and ASCII",
  share: 200,
  // Nothing but the mesh itself is held: 9 doubles a triangle of 50 bytes, as a list first where it is text, and
  // the tables of the welding.
  limits: { cpuMs: 500, cpuMsPerMegabyte: 2000, memoryBytes: 96 * 2 ** 20, memoryPerByte: 24 },
  cases: fc
    .oneof(
      { arbitrary: mutated(FILES, ["facet", "vertex", "endsolid", "solid"]), weight: 9 },
      { arbitrary: bent, weight: 1 },
    )
    .map((bytes) => ({ bytes })),
  async check({ bytes }) {
    const weightBytes = bytes.length;
    try {
      const { volumeM3, sizeM, triangles, shells } = meshVolume(readStl(bytes), 1e-3);
      const whole = Number.isInteger(triangles) && Number.isInteger(shells) && shells >= 1;
      if (!(volumeM3 > 0) || !whole || ![volumeM3, ...sizeM].every(Number.isFinite)) {
        throw new OutcomeError(
          `a volume of ${volumeM3} m3, ${sizeM} m, ${triangles} triangles, ${shells} shells`,
        );
      }
      return { outcome: "accepted", weightBytes };
    } catch (error) {
      expectRefusal(error, ["InvalidPlanError"]);
      return { outcome: "refused", weightBytes };
    }
  },
};
