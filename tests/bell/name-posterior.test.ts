import { describe, expect, test } from "vitest";
import { namePosterior } from "../../src/bell/name-posterior.ts";
import { picturesOf } from "../../src/bell/pictures.ts";
import { profileById, profileIds } from "../../src/bell/profiles.ts";

const CHURCH = profileById("minor-third");
const K = CHURCH.partials.length;

function posteriorOf(hertz: number[], density: number) {
  const n = hertz.length;
  const all = new Float64Array(n).fill(density);
  return namePosterior(
    {
      logFrequency: Float64Array.from(hertz, Math.log),
      strayDensity: all,
      evidence: new Float64Array(n * K).fill(1),
      pinned: new Int32Array(n).fill(-1),
    },
    all,
    CHURCH,
  );
}

describe("namePosterior(measured, allDensity, profile)", () => {
  test("namePosterior() of nothing is empty and of no kind", () => {
    expect(posteriorOf([], 4)).toEqual({ probability: new Float64Array(0), isOfKind: 0 });
  });

  test("namePosterior() gives probabilities: no partial and no name more than once in all", () => {
    const n = 9;
    const { probability, isOfKind } = posteriorOf([150, 300, 352, 455, 600, 660, 905, 1240, 1900], 4);
    for (let i = 0; i < n; i++) {
      const names = probability.subarray(i * K, i * K + K).reduce((a, b) => a + b);
      expect(names).toBeLessThanOrEqual(isOfKind + 1e-9);
    }
    for (let k = 0; k < K; k++) {
      let partials = 0;
      for (let i = 0; i < n; i++) partials += probability[i * K + k];
      expect(partials).toBeLessThanOrEqual(isOfKind + 1e-9);
    }
  });

  test("namePosterior() does not depend on the pitch", () => {
    const low = posteriorOf([200, 400, 480, 600, 800], 4);
    const high = posteriorOf([510, 1020, 1224, 1530, 2040], 4);
    low.probability.forEach((p, at) => {
      // References below 1e-4 of the likeliest are left out, and the grid starts elsewhere: a few of those.
      expect(Math.abs(high.probability[at] - p)).toBeLessThan(1e-3);
    });
  });

  test("namePosterior() trusts a bell less among denser partials", () => {
    const sparse = posteriorOf([200, 400, 480, 600, 800], 3);
    const dense = posteriorOf([200, 400, 480, 600, 800], 12);
    expect(dense.isOfKind).toBeLessThan(sparse.isOfKind);
  });
});

describe("picturesOf(profile)", () => {
  test("picturesOf() has priors that sum to 1 and widths above 0, for every profile", () => {
    for (const id of profileIds()) {
      const pictures = picturesOf(profileById(id));
      expect(pictures.reduce((sum, picture) => sum + picture.prior, 0)).toBeCloseTo(1, 12);
      for (const { spread } of pictures) for (const width of spread) expect(width).toBeGreaterThan(0);
    }
  });

  test("picturesOf() holds one that puts the D5 bell's octave nominal, 70 cents above just, within 15 cents", () => {
    // Fletcher & Rossing, Table 21.1 (from memory): 4.166 to the prime.
    const at = CHURCH.partials.findIndex((partial) => partial.name === "octave nominal");
    const nearest = Math.min(...picturesOf(CHURCH).map((p) => Math.abs(p.logRatio[at] - Math.log(4.166))));
    // Half a step of p is 0.0175; times ln(5.12 / 3.12) that is 15 cents.
    expect(nearest * (1200 / Math.LN2)).toBeLessThan(15);
  });
});
