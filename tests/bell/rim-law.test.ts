import { describe, expect, test } from "vitest";
import { fitRimLaw, rimFrequency } from "../../src/bell/rim-law.ts";

const points = (firstM: number, frequencies: number[]) =>
  frequencies.map((frequencyHz, i) => ({ nodalMeridians: firstM + i, frequencyHz }));

/** D5 church bell of Perrin, Charnley & dePont 1983, ratios to the prime, m = 2 to 9 (from memory of Table 21.1). */
const D5 = [0.5, 1.183, 2, 3.011, 4.166, 5.433, 6.796, 8.215];
/** Albert Clock bell, Belfast, ratios to the nominal, m = 4 to 11: public Csound tables by I. McCurdy (2011), read. */
const ALBERT_CLOCK = [1, 1.4829, 2.0433, 2.6613, 3.3288, 4.0325, 4.7756, 5.5005];

describe("fitRimLaw(points)", () => {
  test("fitRimLaw() is null with fewer than four different m", () => {
    expect(fitRimLaw([])).toBeNull();
    expect(fitRimLaw(points(4, [2, 3, 4]))).toBeNull();
    expect(fitRimLaw([...points(4, [2, 3, 4]), { nodalMeridians: 4, frequencyHz: 2.1 }])).toBeNull();
  });

  test("fitRimLaw() is null where the points bend the other way: b runs to its bound", () => {
    expect(fitRimLaw(points(2, [1, 10, 20, 25, 27]))).toBeNull();
  });

  test("fitRimLaw() is null where every step is a doubling: b runs to its upper bound", () => {
    expect(fitRimLaw(points(2, [1, 2, 4, 8, 16]))).toBeNull();
  });

  test("fitRimLaw() of four points that follow a law is that law: 3 (m + 1)^2", () => {
    const fit = fitRimLaw(points(2, [27, 48, 75, 108]));
    // Golden section narrows b to 8 x 0.618^40, below 4e-8.
    expect(fit?.b).toBeCloseTo(1, 6);
    expect(fit?.p).toBeCloseTo(2, 6);
  });

  test("fitRimLaw() finds the constants of points that follow a law, in any order", () => {
    const law = { c: 120, b: -0.7, p: 1.6 };
    const exact = [8, 4, 6, 5, 9].map((m) => ({
      nodalMeridians: m,
      frequencyHz: law.c * (m + law.b) ** law.p,
    }));
    const fit = fitRimLaw(exact);
    // Golden section narrows b to 8 x 0.618^40, below 4e-8.
    expect(fit?.b).toBeCloseTo(law.b, 6);
    expect(fit?.p).toBeCloseTo(law.p, 6);
    expect((fit?.c ?? 0) / law.c).toBeCloseTo(1, 6);
    expect(fit?.rmsCents).toBeLessThan(1e-4);
  });

  test.each([
    // Least-squares fits in cents, computed separately from this code and rounded as they stand.
    ["D5 bell, m = 4 to 9", points(4, D5.slice(2)), 0.3831, -0.92, 1.468, 3.2],
    ["D5 bell, m = 2 to 9", points(2, D5), 0.3111, -0.639, 1.543, 9.9],
    ["Albert Clock bell, m = 4 to 11", points(4, ALBERT_CLOCK), 0.1844, -0.844, 1.468, 7.9],
  ])("fitRimLaw(%s) has the published data's constants", (_, bell, c, b, p, rms) => {
    const law = fitRimLaw(bell);
    expect(law?.c).toBeCloseTo(c, 4);
    expect(law?.b).toBeCloseTo(b, 3);
    expect(law?.p).toBeCloseTo(p, 3);
    expect(Math.abs((law?.rmsCents ?? 0) - rms)).toBeLessThanOrEqual(0.05);
  });

  test("fitRimLaw() depends on ratios only: in hertz C scales and the rest stays", () => {
    const ratio = fitRimLaw(points(4, D5.slice(2)));
    const hertz = fitRimLaw(
      points(
        4,
        D5.slice(2).map((r) => r * 293.7),
      ),
    );
    expect((hertz?.c ?? 0) / (ratio?.c ?? 1)).toBeCloseTo(293.7, 4);
    expect(hertz?.b).toBeCloseTo(ratio?.b ?? 0, 6);
  });
});

describe("rimFrequency(law, nodalMeridians)", () => {
  test("rimFrequency() returns the points within the fit's scatter", () => {
    const law = fitRimLaw(points(4, D5.slice(2)));
    if (law === null) throw new Error("no law");
    const squares = D5.slice(2).map((f, i) => (1200 * Math.log2(f / rimFrequency(law, 4 + i))) ** 2);
    expect(Math.sqrt(squares.reduce((a, b) => a + b) / squares.length)).toBeCloseTo(law.rmsCents, 9);
  });
});
