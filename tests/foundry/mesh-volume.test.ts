import { describe, expect, it } from "vitest";
import { meshVolume } from "../../src/foundry/mesh-volume.ts";
import { readStl } from "../../src/foundry/stl.ts";
import {
  asciiStl,
  binaryStl,
  frustumProfile,
  type Profile,
  revolve,
  revolvedVolume,
  sphereProfile,
  torusProfile,
  turnedOver,
} from "./solids.ts";

const BELL = frustumProfile([60, 54], [32, 28], 90);
const volumeOf = (triangles: number[]): number => meshVolume(readStl(asciiStl(triangles)), 1).volumeM3;

/** Doubles hold 53 bits; a sum of n terms of mixed sign loses at most n of the last. */
const rounding = (triangles: number[], volume: number): number =>
  triangles.length * 2 ** -52 * Math.abs(volume) * 8;

describe("meshVolume", () => {
  it("meshVolume refuses an open mesh and says at how many edges", () => {
    const mesh = revolve(BELL, 12).slice(9);
    expect(() => volumeOf(mesh)).toThrow(/open at 3 edges/);
    expect(() => volumeOf(revolve(BELL, 12).slice(0, -9 * 24))).toThrow(/open at 24 edges/);
  });

  it("meshVolume refuses one face turned over, and a mesh inside out", () => {
    const mesh = revolve(BELL, 12);
    expect(() => volumeOf([...turnedOver(mesh.slice(0, 9)), ...mesh.slice(9)])).toThrow(
      /turned over along 3 edges/,
    );
    expect(() => volumeOf(turnedOver(mesh))).toThrow(/inside out/);
  });

  it("meshVolume refuses a body inside out beside a sound one, and takes a hollow within one", () => {
    const ball = sphereProfile(10, 8);
    const small = sphereProfile(4, 8);
    const beside = turnedOver(revolve(small, 12)).map((x, i) => (i % 3 === 0 ? x + 50 : x));
    expect(() => volumeOf([...revolve(ball, 12), ...beside])).toThrow(/inside out/);
    const hollow = meshVolume(
      readStl(asciiStl([...revolve(ball, 12), ...turnedOver(revolve(small, 12))])),
      1,
    );
    const expected = revolvedVolume(ball, 12) - revolvedVolume(small, 12);
    expect(hollow.shells).toBe(2);
    expect(Math.abs(hollow.volumeM3 - expected)).toBeLessThan(rounding(revolve(ball, 12), expected));
  });

  it("meshVolume refuses a flat sheet seen from both sides, and a heap of a thousand crumbs", () => {
    const sheet = [0, 0, 0, 1, 0, 0, 0, 1, 0];
    expect(() => volumeOf([...sheet, ...turnedOver(sheet)])).toThrow(/no volume/);
    const crumb = revolve(sphereProfile(1, 2), 3);
    const crumbs = Array.from({ length: 1001 }, (_, n) => crumb.map((x, i) => (i % 3 === 0 ? x + 3 * n : x)));
    expect(() => volumeOf(crumbs.flat())).toThrow(/1001 separate/);
  });

  it.each<[string, Profile, number]>([
    ["a sphere", sphereProfile(25, 24), 48],
    ["a torus", torusProfile(40, 10, 20), 36],
    ["a hollow frustum", BELL, 60],
  ])("meshVolume gives the volume of %s (Pappus), far from the origin too", (_, profile, steps) => {
    const mesh = revolve(profile, steps);
    const expected = revolvedVolume(profile, steps);
    expect(Math.abs(volumeOf(mesh) - expected)).toBeLessThan(rounding(mesh, expected));
    // Moved by 2^20 units every coordinate is rounded to 2^-33: volume changes by at most surface x that.
    const far = mesh.map((x) => x + 2 ** 20);
    expect(Math.abs(volumeOf(far) - expected)).toBeLessThan(6 * 120 ** 2 * 2 ** -32);
  });

  it("meshVolume comes to the smooth solids' volumes as the steps grow (textbook formulas)", () => {
    const smooth = { sphere: (4 / 3) * Math.PI * 25 ** 3, torus: 2 * Math.PI ** 2 * 40 * 10 ** 2 };
    const frustum = (Math.PI / 3) * 90 * (60 ** 2 + 60 * 32 + 32 ** 2 - (54 ** 2 + 54 * 28 + 28 ** 2));
    // An inscribed N-gon misses (2 pi / N)^2 / 6 of a circle's area; a sphere or torus misses it twice over.
    const missing = ((2 * Math.PI) / 60) ** 2 / 6;
    expect(volumeOf(revolve(sphereProfile(25, 30), 60)) / smooth.sphere).toBeGreaterThan(1 - 3 * missing);
    expect(volumeOf(revolve(torusProfile(40, 10, 60), 60)) / smooth.torus).toBeGreaterThan(1 - 3 * missing);
    const ratio = volumeOf(revolve(BELL, 60)) / frustum;
    expect(ratio).toBeGreaterThan(1 - 1.01 * missing);
    expect(ratio).toBeLessThan(1);
  });

  it("meshVolume takes single precision within what it rounds, and the unit the user names", () => {
    const mesh = revolve(BELL, 60);
    const { volumeM3, sizeM, shells, triangles } = meshVolume(readStl(binaryStl(mesh)), 1e-3);
    const expected = revolvedVolume(BELL, 60) * 1e-9;
    // Every corner moves by at most 60 mm x 2^-24; the surface is below 6 x 120 mm squared.
    expect(Math.abs(volumeM3 - expected)).toBeLessThan(6 * 120 ** 2 * 60 * 2 ** -24 * 1e-9);
    expect(sizeM[0]).toBeCloseTo(0.12, 9);
    expect(sizeM[2]).toBeCloseTo(0.09, 9);
    expect({ shells, triangles }).toEqual({ shells: 1, triangles: 480 });
  });

  it("meshVolume passes over triangles without area", () => {
    const mesh = revolve(BELL, 12);
    const needle = [...mesh.slice(0, 3), ...mesh.slice(0, 3), ...mesh.slice(3, 6)];
    expect(volumeOf([...mesh, ...needle])).toBeCloseTo(revolvedVolume(BELL, 12), 6);
  });
});
