import { describe, expect, test } from "vitest";
import { Assignments, type Measured } from "../../src/bell/assignment.ts";
import { namePosterior } from "../../src/bell/name-posterior.ts";
import { picturesOf } from "../../src/bell/pictures.ts";
import type { Profile } from "../../src/bell/profile.ts";
import { profileById, profileIds } from "../../src/bell/profiles.ts";

const CHURCH = profileById("minor-third");
const K = CHURCH.partials.length;
const RIM_ANCHOR = CHURCH.partials.findIndex((partial) => partial.rim);

function posteriorOf(hertz: number[], density: number) {
  const n = hertz.length;
  return namePosterior(
    {
      logFrequency: Float64Array.from(hertz, Math.log),
      density: new Float64Array(n).fill(density),
      strayShare: new Float64Array(n).fill(0.25),
      evidence: new Float64Array(n * K).fill(1),
      pinned: new Int32Array(n).fill(-1),
    },
    CHURCH,
    false,
  );
}

/** Partials of distinct densities and evidence, so that none can stand for another. */
function measuredOf(hertz: number[], profile: Profile, pins: Record<number, number> = {}) {
  const k = profile.partials.length;
  const measured: Measured = {
    logFrequency: Float64Array.from(hertz, Math.log),
    density: Float64Array.from(hertz, (_, i) => 5 + i),
    strayShare: Float64Array.from(hertz, (_, i) => 0.3 + 0.1 * i),
    evidence: Float64Array.from({ length: hertz.length * k }, (_, at) => 0.7 + 0.1 * (at % 7)),
    pinned: Int32Array.from(hertz, (_, i) => pins[i] ?? -1),
  };
  return measured;
}

/**
 * The posterior as the method's description has it, by plain integration: the reference uniform in ln f from the lowest partial
 * being the profile's highest to the highest being its lowest, 0.2 beyond either; a picture with an anchor has a
 * reference for each partial that may be the anchor, at the same density. A share of the partials are strays on a
 * bell of the kind, all of them otherwise, each a Poisson process; three in five are not of the kind.
 */
function byIntegration(measured: Measured, profile: Profile) {
  const n = measured.logFrequency.length;
  const { partials } = profile;
  const k = partials.length;
  const sums = new Assignments(measured, k);
  const from = measured.logFrequency[0] - Math.log(partials[k - 1].ratio) - 0.2;
  const to = measured.logFrequency[n - 1] - Math.log(partials[0].ratio) + 0.2;
  const shares = new Float64Array(n * k);
  let total = 0;
  const add = (picture: ReturnType<typeof picturesOf>[number], u: number, at: number, prior: number) => {
    const weight = prior * sums.sum(picture, u, at);
    total += weight;
    if (weight > 0) sums.addShares(weight, shares);
  };
  for (const picture of picturesOf(profile)) {
    if (picture.anchor < 0) {
      const count = 4000;
      for (let at = 0; at < count; at++) {
        add(picture, from + ((at + 0.5) * (to - from)) / count, -1, picture.prior / count);
      }
      continue;
    }
    const pinnedTo = measured.pinned.indexOf(picture.anchor);
    for (let i = 0; i < n; i++) {
      if (pinnedTo >= 0 ? i !== pinnedTo : measured.pinned[i] >= 0) continue;
      const u = measured.logFrequency[i] - picture.logRatio[picture.anchor];
      add(picture, u, i, picture.prior / (to - from));
    }
  }
  // The weights of strays hold their share; their expected number does not.
  let ofKind = 0.4 * total;
  for (const share of measured.strayShare) ofKind *= Math.exp(1 - share);
  const isOfKind = measured.pinned.some((pin) => pin >= 0) ? 1 : ofKind / (ofKind + 0.6);
  return { probability: shares.map((share) => (share / total) * isOfKind), isOfKind };
}

describe("namePosterior(measured, profile)", () => {
  test.each<[string, string, number[], Record<number, number>]>([
    ["a bell's first partials", "minor-third", [200, 402, 478, 603, 790], {}],
    ["partials that fit no bell well", "minor-third", [200, 260, 300, 470], {}],
    ["a profile without a rim law", "free-bar", [100, 277, 545, 700], {}],
    ["one partial pinned", "minor-third", [200, 402, 478, 790], { 1: 1 }],
    ["the first partial pinned to the first name", "minor-third", [200, 402, 478, 790], { 0: 0 }],
    ["the anchor of the rim law pinned", "minor-third", [300, 402, 478, 790], { 3: RIM_ANCHOR }],
  ])("namePosterior(%s) is what plain integration over the reference gives", (_, id, hertz, pins) => {
    const profile = profileById(id);
    const input = measuredOf(hertz, profile, pins);
    const found = namePosterior(input, profile, false);
    const expected = byIntegration(input, profile);
    // References below 1e-4 of the likeliest are left out, and pairs end at four standard deviations, where the density is 3e-4 of
    // its top and a coarse grid meets the step or not.
    expect(Math.abs(found.isOfKind - expected.isOfKind)).toBeLessThan(2e-3);
    found.probability.forEach((p, at) => {
      expect(Math.abs(p - expected.probability[at])).toBeLessThan(2e-3);
    });
  });

  test("namePosterior() of nothing is empty and of no kind", () => {
    expect(posteriorOf([], 4)).toMatchObject({ probability: new Float64Array(0), isOfKind: 0 });
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
