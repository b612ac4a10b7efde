import { describe, expect, test } from "vitest";
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
