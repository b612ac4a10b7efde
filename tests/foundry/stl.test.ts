import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { InvalidPlanError } from "../../src/foundry/error.ts";
import { meshVolume } from "../../src/foundry/mesh-volume.ts";
import { readStl } from "../../src/foundry/stl.ts";
import { asciiStl, binaryStl, frustumProfile, revolve } from "./solids.ts";

const TRIANGLES = revolve(frustumProfile([60, 54], [32, 28], 90), 8);

describe("readStl", () => {
  it("readStl refuses nothing at all, text that is no mesh, and a picture", () => {
    expect(() => readStl(new Uint8Array(0))).toThrow(/no STL file/);
    expect(() => readStl(new TextEncoder().encode("solid as a rock"))).toThrow(/cut short or no STL/);
    expect(() => readStl(new Uint8Array(300).fill(0x89))).toThrow(/cut short or no STL/);
  });

  it("readStl refuses a file cut anywhere, binary or ASCII", () => {
    for (const whole of [binaryStl(TRIANGLES), asciiStl(TRIANGLES)]) {
      for (let keep = 0; keep < whole.length - 20; keep += 97) {
        expect(() => readStl(whole.subarray(0, keep)), `${keep} bytes`).toThrow(/mesh/);
      }
    }
  });

  it("readStl does not believe a header that announces four thousand million triangles", () => {
    const bytes = binaryStl(TRIANGLES);
    new DataView(bytes.buffer).setUint32(80, 0xffffffff, true);
    expect(() => readStl(bytes)).toThrow(/announces 4294967295 triangles, and it holds 64/);
  });

  it("readStl refuses a corner that is no number", () => {
    const bytes = binaryStl(TRIANGLES);
    new DataView(bytes.buffer).setFloat32(84 + 50 + 12, Number.NaN, true);
    expect(() => readStl(bytes)).toThrow(/triangle 2 .* no number/);
    const text = new TextDecoder().decode(asciiStl(TRIANGLES)).replace("vertex 54", "vertex 5,4");
    expect(() => readStl(new TextEncoder().encode(text))).toThrow(/triangle 1 .* no number/);
  });

  it("readStl refuses a facet with four corners, an empty mesh, and bytes after the last triangle", () => {
    const text = new TextDecoder().decode(asciiStl(TRIANGLES)).replace("endloop", "vertex 0 0 0\nendloop");
    expect(() => readStl(new TextEncoder().encode(text))).toThrow(/facet 1 .* 4 corners/);
    expect(() => readStl(asciiStl([]))).toThrow(/no triangle/);
    expect(() => readStl(binaryStl([]))).toThrow(/no triangle/);
    const long = new Uint8Array(binaryStl(TRIANGLES).length + 7);
    long.set(binaryStl(TRIANGLES));
    expect(() => readStl(long)).toThrow(/goes on after/);
  });

  it("readStl reads binary and ASCII alike, also a binary file that begins with solid and bytes inside a larger buffer", () => {
    const text = readStl(asciiStl(TRIANGLES));
    expect(Array.from(text.coordinates)).toEqual(TRIANGLES.map((x) => x + 0));
    const inside = new Uint8Array(5000);
    inside.set(binaryStl(TRIANGLES, "solid from a scan"), 13);
    const binary = readStl(inside.subarray(13, 13 + binaryStl(TRIANGLES).length));
    expect(binary.triangles).toBe(64);
    expect(Array.from(binary.coordinates)).toEqual(TRIANGLES.map((x) => Math.fround(x) + 0));
  });

  it("readStl reads ASCII with a byte order mark, in capitals, indented and with wide gaps", () => {
    const plain = new TextDecoder().decode(asciiStl(TRIANGLES));
    const odd = [
      `\uFEFF${plain}`,
      ` \r\n${plain}`,
      plain.toUpperCase(),
      plain.replaceAll(/vertex (\S+) (\S+) (\S+)/g, "vertex   $1\t\t$2   $3"),
    ];
    for (const text of odd) {
      expect(Array.from(readStl(new TextEncoder().encode(text)).coordinates)).toEqual(
        TRIANGLES.map((x) => x + 0),
      );
    }
  });

  it("readStl takes a binary file for one though its header speaks of solid", () => {
    for (const header of ["my solid bell", "unsolid", "solidified"]) {
      expect(() => readStl(binaryStl(TRIANGLES, header).subarray(0, 500)), header).toThrow(/announces 64/);
    }
  });

  it("readStl counts the whole triangles that a cut file holds", () => {
    // Three triangles and 45 of the 50 bytes of the fourth.
    expect(() => readStl(binaryStl(TRIANGLES).subarray(0, 84 + 3 * 50 + 45))).toThrow(/and it holds 3;/);
  });

  it("readStl refuses what is shorter than a header in a sentence of its own", () => {
    for (const length of [0, 10, 80, 83]) {
      expect(() => readStl(new Uint8Array(length))).toThrow(/^the mesh is no STL file: it is shorter than/);
    }
  });

  it("readStl refuses ASCII with an end and a facet that has none", () => {
    const text = "solid bell\nfacet normal 0 0 0\nvertex 0 0 0\nendsolid bell\n";
    expect(() => readStl(new TextEncoder().encode(text))).toThrow(/does not end as one after 1 facets/);
  });

  it("readStl takes -0 for 0, so that corners there are one place", () => {
    const [o, x, y, z] = ["0 0 0", "1 0 0", "0 1 0", "0 0 1"];
    const faces = [
      [o, y, x],
      [o, x, z],
      ["-0 -0 -0", z, y],
      [x, y, z],
    ];
    const facets = faces.map((corners) => `facet\n${corners.map((c) => `vertex ${c}\n`).join("")}endfacet\n`);
    const mesh = readStl(new TextEncoder().encode(`solid\n${facets.join("")}endsolid\n`));
    // Half of the unit cube's face, times a third of its height.
    expect(meshVolume(mesh, 1).volumeM3).toBeCloseTo(1 / 6, 15);
  });

  it("readStl and meshVolume of 1,000 damaged files give a finite volume or one sentence, nothing else (seed 5)", () => {
    const wholes = [binaryStl(TRIANGLES), asciiStl(TRIANGLES)];
    const damage = fc.record({
      which: fc.nat({ max: 1 }),
      keep: fc.double({ min: 0, max: 1, noNaN: true }),
      blows: fc.array(
        fc.record({ at: fc.double({ min: 0, max: 0.999, noNaN: true }), byte: fc.nat({ max: 255 }) }),
        { maxLength: 6 },
      ),
    });
    fc.assert(
      fc.property(damage, ({ which, keep, blows }) => {
        const whole = wholes[which]!;
        const bytes = whole.slice(0, keep > 0.5 ? whole.length : Math.floor(2 * keep * whole.length));
        for (const { at, byte } of blows) bytes[Math.floor(at * bytes.length)] = byte;
        try {
          const { volumeM3 } = meshVolume(readStl(bytes), 1e-3);
          expect(Number.isFinite(volumeM3) && volumeM3 > 0).toBe(true);
        } catch (error) {
          expect(error).toBeInstanceOf(InvalidPlanError);
          expect((error as Error).message).not.toMatch(/\n|NaN/);
        }
      }),
      { numRuns: 1000, seed: 5 },
    );
  });
});
