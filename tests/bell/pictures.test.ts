import { describe, expect, test } from "vitest";
import { parseProfile } from "../../src/bell/parse-profile.ts";
import { picturesOf } from "../../src/bell/pictures.ts";

/** Two rim partials, the first of them second in the profile, and one of another kind. */
const PARTIALS = [
  { name: "low", ratio: 1, spread: 0.1 },
  { name: "rim", ratio: 2, spread: 0.04, presence: 0.9, rim: true, nodalMeridians: 3 },
  { name: "next", ratio: 3, spread: 0.05, rim: true, nodalMeridians: 4 },
];
const profileOf = (rimLaw: object | null) =>
  parseProfile({ schema: "ringwright.profile/1", id: "own", partials: PARTIALS, rimLaw });
const LAW = { b: -1, p: 1.5, spreadP: 0.2 };

describe("picturesOf(profile)", () => {
  test("picturesOf() without a law has the profile's ratios in all, with spreads from tuned to far off", () => {
    const pictures = picturesOf(profileOf(null));
    expect(pictures.reduce((sum, { prior }) => sum + prior, 0)).toBeCloseTo(1, 12);
    for (const { logRatio, spread, presence, anchor } of pictures) {
      expect([...logRatio]).toEqual([0, Math.log(2), Math.log(3)]);
      expect([...presence]).toEqual([0.7, 0.9, 0.7]);
      expect(anchor).toBe(-1);
      // One scale for all of them.
      expect(spread[1] / spread[0]).toBeCloseTo(0.4, 12);
      expect(spread[2] / spread[0]).toBeCloseTo(0.5, 12);
    }
    const scales = pictures.map(({ spread }) => spread[0] / 0.1);
    expect(Math.min(...scales)).toBeLessThan(1);
    expect(Math.max(...scales)).toBeGreaterThan(1);
  });

  test("picturesOf() with a law has priors that sum to 1, heaviest at the typical exponent", () => {
    const pictures = picturesOf(profileOf(LAW));
    expect(pictures.reduce((sum, { prior }) => sum + prior, 0)).toBeCloseTo(1, 12);
    const lawful = pictures.filter(({ anchor }) => anchor >= 0);
    const exponents = lawful.map(({ logRatio }) => (logRatio[2] - logRatio[1]) / Math.log(3 / 2));
    const heaviest = lawful.map(({ prior }) => prior).indexOf(Math.max(...lawful.map(({ prior }) => prior)));
    expect(exponents[heaviest]).toBeCloseTo(1.5, 12);
    // exp(-z^2 / 2) at two standard deviations, z = (p - 1.5) / 0.2.
    lawful.forEach(({ prior }, i) => {
      const z = (exponents[i] - 1.5) / 0.2;
      expect(prior / lawful[heaviest].prior).toBeCloseTo(Math.exp((-z * z) / 2), 12);
    });
  });

  test("picturesOf() of a law follows ((m + b) / (m' + b))^p from the first rim partial, p from three deviations below to two above", () => {
    const lawful = picturesOf(profileOf(LAW)).filter(({ anchor }) => anchor >= 0);
    // m + b is 2 and 3.
    const exponents = lawful.map(({ logRatio }) => (logRatio[2] - Math.log(2)) / Math.log(3 / 2));
    expect(Math.min(...exponents)).toBeCloseTo(1.5 - 3 * 0.2, 12);
    expect(Math.max(...exponents)).toBeCloseTo(1.5 + 2 * 0.2, 12);
    const distinct = [...new Set(exponents.map((p) => p.toFixed(9)))].map(Number).sort((a, b) => a - b);
    const step = distinct[1] - distinct[0];
    for (const { anchor, logRatio, spread } of lawful) {
      expect(anchor).toBe(1);
      expect(logRatio[0]).toBe(0);
      expect(logRatio[1]).toBe(Math.log(2));
      // Ten cents about the law, and the uniform error of half a step of the exponents to either side: step / sqrt 12.
      expect(spread[1]).toBeCloseTo(0.006, 12);
      expect(spread[2]).toBeCloseTo(Math.hypot(0.006, (step / Math.sqrt(12)) * Math.log(3 / 2)), 12);
    }
    // What is no rim partial keeps its own spread, smaller and larger.
    const others = lawful.map(({ spread }) => spread[0] / 0.1);
    expect(Math.min(...others)).toBeLessThan(1);
    expect(Math.max(...others)).toBeGreaterThan(1);
    expect(Math.max(...others)).toBeLessThan(3);
  });
});
