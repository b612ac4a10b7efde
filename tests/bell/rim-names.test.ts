import { describe, expect, test } from "vitest";
import { fitRimLaw, rimFrequency } from "../../src/bell/rim-law.ts";
import { findRimPartials, type RimMember, rimOutlier } from "../../src/bell/rim-names.ts";

const LAW = { c: 100, b: -0.9, p: 1.47 };
const at = (m: number) => LAW.c * (m + LAW.b) ** LAW.p;
const members = (...ms: number[]): RimMember[] =>
  ms.map((m, partial) => ({ partial, nodalMeridians: m, frequencyHz: at(m) }));
const cents = (n: number) => 2 ** (n / 1200);

describe("rimOutlier(members)", () => {
  test("rimOutlier() of none, of few, or of members on their law is null", () => {
    expect(rimOutlier([])).toBeNull();
    expect(rimOutlier(members(4, 5, 6, 7, 8))).toBeNull();
    expect(rimOutlier(members(4, 5, 6, 7, 8, 9))).toBeNull();
  });

  test("rimOutlier() is the one between others that lies 60 cents off their law", () => {
    const bell = members(4, 5, 6, 7, 8, 9);
    bell[2].frequencyHz *= cents(60);
    expect(rimOutlier(bell)).toBe(bell[2]);
  });

  test("rimOutlier() does not judge the first and the last, for the law was not fitted beyond them", () => {
    const bell = members(4, 5, 6, 7, 8, 9);
    bell[0].frequencyHz *= cents(60);
    expect(rimOutlier(bell)).toBeNull();
    const last = members(4, 5, 6, 7, 8, 9);
    last[5].frequencyHz *= cents(60);
    expect(rimOutlier(last)).toBeNull();
  });

  test("rimOutlier() needs five others, and more than five times the 8 cents that a law is known to", () => {
    const few = members(4, 5, 6, 7, 8);
    few[2].frequencyHz *= cents(60);
    expect(rimOutlier(few)).toBeNull();
    for (const [off, found] of [
      [38, false],
      [-38, false],
      [42, true],
      [-42, true],
    ] as const) {
      const bell = members(4, 5, 6, 7, 8, 9);
      bell[2].frequencyHz *= cents(off);
      expect(rimOutlier(bell) === bell[2]).toBe(found);
    }
  });
});

describe("findRimPartials(members, candidates, confidence)", () => {
  const candidatesOf = (known: RimMember[], hertz: number[], density = 5) => {
    const frequencyHz = Float64Array.from([...known.map((m) => m.frequencyHz), ...hertz]);
    return {
      partials: hertz.map((_, i) => known.length + i),
      frequencyHz,
      density: new Float64Array(frequencyHz.length).fill(density),
    };
  };

  test("findRimPartials() finds nothing with fewer than five members or with members off any law", () => {
    const four = members(4, 5, 6, 7);
    expect(findRimPartials(four, candidatesOf(four, [at(8)]), 0.85)).toEqual([]);
    const rough = members(4, 5, 6, 7, 8).map((m, i) => ({
      ...m,
      frequencyHz: m.frequencyHz * cents([60, -60, 80, -70, 50][i]),
    }));
    expect(findRimPartials(rough, candidatesOf(rough, [at(9)]), 0.85)).toEqual([]);
  });

  test("findRimPartials() finds nothing where members scatter by more than 20 cents about their best law, or have none", () => {
    const rough = members(4, 5, 6, 7, 8, 9).map((m, i) => ({
      ...m,
      frequencyHz: m.frequencyHz * cents(i % 2 === 0 ? 30 : -30),
    }));
    const law = fitRimLaw(rough)!;
    expect(law.rmsCents).toBeGreaterThan(20);
    expect(findRimPartials(rough, candidatesOf(rough, [rimFrequency(law, 10)]), 0.1)).toEqual([]);
    const doublings = members(4, 5, 6, 7, 8).map((m, i) => ({ ...m, frequencyHz: 2 ** i }));
    expect(findRimPartials(doublings, candidatesOf(doublings, [32]), 0.1)).toEqual([]);
  });

  test("findRimPartials() weighs the normal density about the law against 5 strays a unit, by hand", () => {
    // 8 cents between members, 16 one above them; 0.7 shows, 0.3 does not; 1200 / ln 2 cents are one unit.
    const chance = (scatter: number, off: number, others: number[] = []) => {
      const sd = (scatter * Math.LN2) / 1200;
      const weight = (z: number) => (0.7 * Math.exp((-z * z) / 2)) / (sd * Math.sqrt(2 * Math.PI)) / 5;
      const rivals = others.reduce((sum, other) => sum + weight(other / scatter), 0);
      return weight(off / scatter) / (0.3 + weight(off / scatter) + rivals);
    };
    const above = members(4, 5, 6, 7, 8);
    const between = members(4, 5, 7, 8, 9);
    const probability = (known: RimMember[], hertz: number[]) =>
      findRimPartials(known, candidatesOf(known, hertz), 0.1)[0];
    // The law is fitted to some 1e-4 cents.
    expect(probability(above, [at(9)]).probability).toBeCloseTo(chance(16, 0), 5);
    expect(probability(above, [at(9) * cents(-16)]).probability).toBeCloseTo(chance(16, 16), 5);
    expect(probability(between, [at(6) * cents(10)]).probability).toBeCloseTo(chance(8, 10), 5);
    const two = probability(above, [at(9) * cents(5), at(9) * cents(20)]);
    expect(two.partial).toBe(5);
    expect(two.probability).toBeCloseTo(chance(16, 5, [20]), 5);
  });

  test("findRimPartials() takes none beyond three deviations, none below the lowest, and none at an m that is known", () => {
    const known = members(4, 5, 6, 7, 8);
    const found = (hertz: number) => findRimPartials(known, candidatesOf(known, [hertz]), 0.01).length;
    expect(found(at(9) * cents(2.9 * 16))).toBe(1);
    expect(found(at(9) * cents(3.1 * 16))).toBe(0);
    expect(found(at(3))).toBe(0);
    expect(found(at(6) * cents(2))).toBe(0);
  });

  test("findRimPartials() finds those between and above, each at its m", () => {
    const known = members(4, 5, 7, 8, 9);
    const found = findRimPartials(known, candidatesOf(known, [at(6), 1.13 * at(9), at(10), at(11)]), 0.85);
    expect(found.map(({ partial, nodalMeridians }) => [partial, nodalMeridians])).toEqual([
      [5, 6],
      [7, 10],
      [8, 11],
    ]);
    for (const { probability } of found) expect(probability).toBeGreaterThan(0.85);
  });

  test("findRimPartials() steps over one silent m, not over three", () => {
    const known = members(4, 5, 6, 7, 8);
    expect(findRimPartials(known, candidatesOf(known, [at(10)]), 0.85)[0]?.nodalMeridians).toBe(10);
    expect(findRimPartials(known, candidatesOf(known, [at(12)]), 0.85)).toEqual([]);
  });

  test("findRimPartials() leaves two partials at the predicted place alone: it is either", () => {
    const known = members(4, 5, 6, 7, 8);
    const pair = candidatesOf(known, [at(9) * cents(-4), at(9) * cents(4)]);
    expect(findRimPartials(known, pair, 0.85)).toEqual([]);
  });
});
