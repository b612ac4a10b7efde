import { describe, expect, it } from "vitest";
import { solveModes } from "../../../src/shape/modes.ts";
import { BELL_HZ, type BellName, bellMesh, MATERIAL } from "../support/bells.ts";

const cents = (a: number, b: number) => 1200 * Math.log2(a / b);

describe("solveModes on whole bells", () => {
  const all = Array.from({ length: 13 }, (_, m) => m);
  const hz = (name: BellName) =>
    solveModes(bellMesh(name), MATERIAL, { harmonics: all, each: 2, heldCrownM: null });

  it.each(["church", "hobby"] as const)(
    "solveModes gives the frequencies of an independent program on the same mesh, for m 0 to 12: %s",
    (name) => {
      for (const { m, order, frequencyHz } of hz(name)) {
        // The other's figures carry six decimals, the places of the nodes nine: 1e-9 m of a wall of 5 mm is 4e-4 cents.
        expect(
          Math.abs(cents(frequencyHz, BELL_HZ[name][m]![order - 1]!)),
          `m ${m} order ${order}`,
        ).toBeLessThan(1e-3);
      }
    },
  );

  it("solveModes agrees with solid elements in three dimensions to a cent", () => {
    // Computed with an independent 3D model; 8 elements over a quarter turn gave 5.45 cents more for the hum, 16 only 0.38, so
    // that its own error is of the order of half a cent.
    const solid = [
      [2, 1, 198.501],
      [2, 2, 531.458],
      [3, 1, 536.157],
      [4, 1, 969.19],
    ] as const;
    const modes = hz("church");
    for (const [m, order, frequencyHz] of solid) {
      const found = modes.find((mode) => mode.m === m && mode.order === order)!;
      expect(Math.abs(cents(found.frequencyHz, frequencyHz)), `m ${m} order ${order}`).toBeLessThan(1);
    }
  });

  it("solveModes raises hum and prime a little where the crown is held, and leaves the rim's partials", () => {
    const request = { harmonics: [2, 5], each: 2, heldCrownM: null };
    const free = solveModes(bellMesh("church"), MATERIAL, request);
    const held = solveModes(bellMesh("church"), MATERIAL, { ...request, heldCrownM: 0.06 });
    const raised = held.map(({ frequencyHz }, at) => cents(frequencyHz, free[at]!.frequencyHz));
    // A hold can only stiffen; so near the axis it takes a cent or two from what swings the crown least.
    for (const each of raised) expect(each).toBeGreaterThan(-1e-6);
    expect(raised[0]!).toBeGreaterThan(0.3);
    expect(raised[0]!).toBeLessThan(3);
    expect(raised[1]!).toBeLessThan(3);
    // An independent program found less than 0.03 cents.
    expect(Math.abs(raised[2]!)).toBeLessThan(0.03);
  });
});
