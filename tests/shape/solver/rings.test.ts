import { describe, expect, it } from "vitest";
import { disc, frequenciesHz, modesOf, swept } from "../support/sections.ts";

const STEEL = { youngPa: 200e9, densityKgM3: 8000, poisson: 0.3 };

describe("solveHarmonic on rings and shells", () => {
  it("solveHarmonic comes to the thin ring's limits as the ring gets thinner", () => {
    const errors = [0.02, 0.01].map((a) => {
      const unit = Math.sqrt((STEEL.youngPa * a * a) / 4 / STEEL.densityKgM3) / (2 * Math.PI);
      const [low, high] = frequenciesHz(disc(1, a, 3), STEEL, 2, 2) as [number, number];
      // In its plane n (n² - 1) / sqrt(n² + 1), Hoppe 1871; across n (n² - 1) / sqrt(n² + 1 + nu), Michell 1890 (Love,
      // Mathematical Theory of Elasticity, § 293, from memory).
      return [high / ((6 / Math.sqrt(5)) * unit) - 1, low / ((6 / Math.sqrt(5.3)) * unit) - 1] as const;
    });
    for (const which of [0, 1]) {
      // Thickness takes what goes with (a / R)², so half the thickness leaves about a quarter.
      expect(errors[0]![which]!).toBeLessThan(0);
      expect(Math.abs(errors[0]![which]!)).toBeLessThan(1.5e-3);
      expect(errors[0]![which]! / errors[1]![which]!).toBeGreaterThan(2.5);
    }
  });

  it("solveHarmonic agrees with a 3D solver on the torus of ratio 0.05, to 0.2 %", () => {
    const mesh = disc(1, 0.05, 3);
    const found = [2, 3, 4].flatMap((m) => frequenciesHz(mesh, STEEL, m, 2)).slice(0, 5);
    // A general 3D solver's published results for this benchmark, as read; its own mesh is not told.
    for (const [at, hz] of [51.484, 53.153, 146.74, 149.49, 280.66].entries()) {
      expect(Math.abs(found[at]! / hz - 1)).toBeLessThan(2e-3);
    }
  });

  it("solveHarmonic comes to Rayleigh's inextensional hemisphere as the wall gets thinner", () => {
    const material = { youngPa: 100e9, densityKgM3: 8700, poisson: 0.34 };
    const ratio = (t: number): number => {
      const shell = (radius: number) => (x: number) =>
        [x === 0 ? 0 : radius * Math.sin((x * Math.PI) / 2), radius * Math.cos((x * Math.PI) / 2)] as const;
      const [mode] = modesOf(swept(shell(1 + t / 2), shell(1 - t / 2), 60, 1), material, 2, 1);
      const shear = material.youngPa / 2.68;
      // omega a² sqrt(sigma / H) = 5.24, H = 4 mu h³ / 3, sigma = 2 rho h, the wall 2 h (Theory of Sound § 235c, read and
      // solved anew: 5.2400).
      const h = t / 2;
      const rayleigh =
        (5.24 / (2 * Math.PI)) * Math.sqrt((4 * shear * h ** 3) / 3 / (2 * material.densityKgM3 * h));
      return mode!.frequencyHz / rayleigh;
    };
    const [thick, thin] = [ratio(1 / 50), ratio(1 / 200)];
    // An edge layer takes a part that goes with the square root of the thickness: a quarter of it leaves a half.
    expect(1 - thick).toBeGreaterThan(0.035);
    expect(1 - thick).toBeLessThan(0.05);
    expect((1 - thick) / (1 - thin)).toBeGreaterThan(2);
    expect((1 - thick) / (1 - thin)).toBeLessThan(2.6);
  });
});
