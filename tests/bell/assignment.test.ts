import { describe, expect, test } from "vitest";
import { Assignments, type Measured, type Picture } from "../../src/bell/assignment.ts";
import { makeRandom } from "../support/synthetic/random.ts";

const N = 5;
const K = 4;

function randomMeasured(seed: number): Measured {
  const random = makeRandom(seed);
  const logFrequency = Float64Array.from({ length: N }, () => random.between(0, 1)).sort();
  return {
    logFrequency,
    density: Float64Array.from({ length: N }, () => random.between(0.5, 4)),
    strayShare: Float64Array.from({ length: N }, () => random.between(0.2, 1)),
    evidence: Float64Array.from({ length: N * K }, () => random.between(0.3, 3)),
    pinned: new Int32Array(N).fill(-1),
  };
}

const PICTURE: Picture = {
  logRatio: Float64Array.of(0.1, 0.35, 0.6, 0.95),
  spread: Float64Array.of(0.2, 0.15, 0.2, 0.25),
  tail: Float64Array.of(0.3, 0.15, 0.25, 0.4),
  presence: Float64Array.of(0.9, 0.5, 0.8, 0.3),
  anchor: -1,
  prior: 1,
};

const normal = (away: number, sd: number) =>
  Math.exp(-((away / sd) ** 2) / 2) / (sd * Math.sqrt(2 * Math.PI));

/** The same sum and shares by listing every order-preserving assignment. */
function byListing(measured: Measured, picture: Picture, u: number): { sum: number; shares: Float64Array } {
  const shares = new Float64Array(N * K);
  const top = measured.logFrequency[N - 1];
  const bottom = u + picture.logRatio[0] - 4 * picture.tail[0];
  // One recording in four ends with its highest line: all that lies above is then missing at once.
  const isBeyond = (k: number) => u + picture.logRatio[k] > top;
  const unheard = [...picture.presence].reduce((product, p, k) => product * (isBeyond(k) ? 1 - p : 1), 1);
  const power = unheard === 1 ? 1 : Math.log(0.25 + 0.75 * unheard) / Math.log(unheard);
  const absent = [...picture.presence].map((p, k) => (1 - p) ** (isBeyond(k) ? power : 1));
  let sum = 0;
  const walk = (i: number, nextK: number, weight: number, pairs: [number, number][]): void => {
    if (i === N) {
      const taken = new Set(pairs.map(([, k]) => k));
      const total = absent.reduce((product, a, k) => product * (taken.has(k) ? 1 : a), weight);
      sum += total;
      for (const [a, k] of pairs) shares[a * K + k] += total;
      return;
    }
    const pin = measured.pinned[i];
    const share = measured.strayShare[i];
    if (pin < 0) walk(i + 1, nextK, weight * share ** (measured.logFrequency[i] < bottom ? 2 : 1), pairs);
    for (let k = nextK; k < K; k++) {
      if (pin >= 0 && pin !== k) continue;
      if (measured.pinned.some((other, at) => other === k && at !== i)) continue;
      const away = measured.logFrequency[i] - u - picture.logRatio[k];
      // Nine in ten lie as the casting does, one is off on its own; none further than four deviations of those.
      const mixed = 0.9 * normal(away, picture.spread[k]) + 0.1 * normal(away, picture.tail[k]);
      const density = pin === k ? mixed + 1e-6 : Math.abs(away) > 4 * picture.tail[k] ? 0 : mixed;
      const pair = (picture.presence[k] * measured.evidence[i * K + k] * density) / measured.density[i];
      if (pair > 0) walk(i + 1, k + 1, weight * pair, [...pairs, [i, k]]);
    }
  };
  walk(0, 0, 1, []);
  return { sum, shares: shares.map((share) => share / sum) };
}

function expectAsListed(measured: Measured): void {
  for (const u of [-0.3, 0, 0.2]) {
    const assignments = new Assignments(measured, K);
    const listed = byListing(measured, PICTURE, u);
    // Sums of a few hundred products in another order: rounding of 1e-12 at most.
    expect(assignments.sum(PICTURE, u, -1) / listed.sum).toBeCloseTo(1, 10);
    const shares = new Float64Array(N * K);
    assignments.addShares(1, shares);
    shares.forEach((share, at) => {
      expect(share).toBeCloseTo(listed.shares[at], 10);
    });
  }
}

describe("Assignments.sum(picture, u, anchorAt), Assignments.addShares(part, into)", () => {
  test.each([1, 2, 3, 4, 5, 6])(
    "sum() and addShares() agree with listing all assignments, bell %d",
    (seed) => {
      const measured = randomMeasured(seed);
      expectAsListed(measured);
    },
  );

  test.each([
    [[0, 0]],
    [[2, 1]],
    [[4, 3]],
    [
      [1, 1],
      [3, 2],
    ],
    [
      [0, 0],
      [2, 2],
    ],
  ])("sum() and addShares() with pins at %j agree with listing all assignments", (...pins) => {
    const measured = randomMeasured(10);
    for (const [partial, name] of pins) measured.pinned[partial] = name;
    expectAsListed(measured);
  });

  test("addShares() gives a pinned partial its name wherever it lies, and none that crosses it", () => {
    const measured = randomMeasured(7);
    measured.pinned[1] = 3;
    const assignments = new Assignments(measured, K);
    const listed = byListing(measured, PICTURE, 0);
    expect(assignments.sum(PICTURE, 0, -1) / listed.sum).toBeCloseTo(1, 10);
    const shares = new Float64Array(N * K);
    assignments.addShares(1, shares);
    expect(shares[1 * K + 3]).toBeCloseTo(1, 12);
    for (let i = 2; i < N; i++) for (let k = 0; k < K; k++) expect(shares[i * K + k]).toBe(0);
  });

  test("sum() takes the anchor at its partial and nowhere else", () => {
    const measured = randomMeasured(8);
    const picture = { ...PICTURE, anchor: 2 };
    const assignments = new Assignments(measured, K);
    assignments.sum(picture, measured.logFrequency[3] - picture.logRatio[2], 3);
    const shares = new Float64Array(N * K);
    assignments.addShares(1, shares);
    for (let i = 0; i < N; i++) expect(shares[i * K + 2]).toBeCloseTo(i === 3 ? 1 : 0, 12);
  });

  test("sum() far from any pair is the probability that all are missing and each measured one a stray", () => {
    const measured = randomMeasured(9);
    const strays = measured.strayShare.reduce((product, share) => product * share, 1);
    const assignments = new Assignments(measured, K);
    // All profile partials far below: none above the top, every measured partial a stray in range.
    expect(assignments.sum(PICTURE, -20, -1)).toBeCloseTo(0.1 * 0.5 * 0.2 * 0.7 * strays, 12);
  });
});
