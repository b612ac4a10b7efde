import { describe, expect, it } from "vitest";
import type { Band } from "../../src/partials/band.ts";
import { boundsAround, fitBand } from "../../src/partials/fit-band.ts";
import { fitNeighbourhood, polesOf, splitThreshold, store } from "../../src/partials/fit-lines.ts";
import { candidateLine, type Line } from "../../src/partials/line.ts";
import { bandOf } from "../../src/partials/neighbourhood.ts";
import { searchOpener } from "../../src/partials/ring-down.ts";
import { newSearch, type Search } from "../../src/partials/search.ts";
import { lineOf } from "./lines.ts";
import { knownNoise, openerOf, RING_RATE_HZ, type RingLine, rhoOf, ringDownOf } from "./rings.ts";

const ONE: RingLine = { frequencyHz: 1000.3, alpha: 4, amplitude: 0.002 };
/** Three linewidths apart, for which one line cannot stand. */
const TWO: RingLine[] = [ONE, { frequencyHz: 1004.1, alpha: 5, amplitude: 0.0015 }];

const candidate = (frequencyHz: number, alpha: number) => candidateLine(alpha, 2 * Math.PI * frequencyHz, 1);

function fitted(ring: RingLine[], lines: Line[], grow: boolean, change: (search: Search) => void = () => {}) {
  const search = openerOf(ringDownOf(ring, 7))(0, 0)!;
  search.lines = [...lines];
  change(search);
  const group = [...lines];
  fitNeighbourhood(search, group, grow);
  return { search, group };
}

/** Within five of the standard errors that the fit itself gives. */
function expectLine(line: Line, { frequencyHz, alpha, amplitude }: RingLine): void {
  expect(Math.abs(line.omega - 2 * Math.PI * frequencyHz)).toBeLessThan(5 * line.sdOmega);
  expect(Math.abs(line.alpha - alpha)).toBeLessThan(5 * line.sdAlpha);
  const c = Math.hypot(line.cRe[0], line.cIm[0]);
  expect(Math.abs(Math.log((2 * c) / amplitude))).toBeLessThan(5 * line.sdLogAmplitude);
}

describe("splitThreshold", () => {
  it.each([
    [1, 15],
    [2, 17.5],
    [4, 22.5],
  ])("splitThreshold(%d channels) is %d nats", (channels, nats) => {
    const re = Array.from({ length: channels }, () => new Float64Array(129));
    expect(splitThreshold(newSearch(8000, [{ size: 256, re, im: re }], [], 0, 0))).toBe(nats);
  });
});

describe("polesOf", () => {
  it("polesOf(lines) are their decay rates and angular frequencies, in order", () => {
    const poles = polesOf([candidate(3, 1), candidate(2, 5)]);
    expect(Array.from(poles.alpha)).toEqual([1, 5]);
    expect(Array.from(poles.omega)).toEqual([6 * Math.PI, 4 * Math.PI]);
  });
});

describe("fitNeighbourhood", () => {
  it("fitNeighbourhood(a candidate) becomes the line, with its strength and the errors of the bound", () => {
    const { group, search } = fitted([ONE], [candidate(1001, 6)], false);
    expect(search.lines).toEqual(group);
    const [line] = group;
    expectLine(line, ONE);
    // rho = A^2 fs / (8 alpha S) at the values fitted, which lie within five errors of 1/sqrt(2 rho) and alpha's own.
    const rho = rhoOf(ONE);
    expect(Math.abs(line.rho / rho - 1)).toBeLessThan(
      5 * Math.hypot(2 / Math.sqrt(2 * rho), 1 / Math.sqrt(rho)),
    );
    // sd(omega) = sd(alpha) = alpha sqrt(2 / rho) by Hua & Sarkar's bound; ten linewidths hold 97 % of the line.
    const bound = 4 * Math.sqrt(2 / rho);
    expect(line.sdOmega / bound).toBeGreaterThan(0.95);
    expect(line.sdOmega / bound).toBeLessThan(1.2);
    expect(line.sdAlpha).toBe(line.sdOmega);
    expect(line.misfitting).toBe(false);
  });

  it.each([0.5, 30])(
    "fitNeighbourhood(a candidate whose decay was guessed as %d /s) finds the line all the same",
    (alpha) => {
      expectLine(fitted([ONE], [candidate(1001, alpha)], false).group[0], ONE);
    },
  );

  it("fitNeighbourhood(a line that rings beyond the record) takes its amplitude at the start, not that of a whole decay", () => {
    // In 3 s a decay of 0.1 /s falls by a quarter.
    const slow = { frequencyHz: 700.1, alpha: 0.1, amplitude: 0.002 };
    const { group, search } = fitted([slow], [candidate(700, 0.3)], false);
    const [line] = group;
    expectLine(line, slow);
    // rho over a record of T seconds: A^2 fs (1 - exp(-2 alpha T)) / (8 alpha S).
    const rho = rhoOf(slow) * (1 - Math.exp((-2 * 0.1 * search.ladder[0].size) / RING_RATE_HZ));
    const sd = Math.hypot(2 * line.sdLogAmplitude, line.sdAlpha / 0.1);
    expect(Math.abs(line.rho / rho - 1)).toBeLessThan(5 * sd);
  });

  it("fitNeighbourhood(one candidate for two lines) grows by the other one when it may", () => {
    const { group, search } = fitted(TWO, [candidate(1002, 4)], true);
    expect(group.length).toBe(2);
    expect(search.lines).toEqual(group);
    const [low, high] = group.toSorted((a, b) => a.omega - b.omega);
    expectLine(low, TWO[0]);
    expectLine(high, TWO[1]);
  });

  it.each<[string, boolean, (search: Search) => void]>([
    ["it is not asked to", false, () => {}],
    ["the search does not grow", true, (search) => void Object.assign(search, { growing: false })],
    ["every line was misfitting", true, ({ lines }) => void Object.assign(lines[0], { misfitting: true })],
  ])(
    "fitNeighbourhood(one candidate for two lines) stays one when %s, with the errors that its misfit asks for",
    (_, grow, change) => {
      const { group } = fitted(TWO, [candidate(1002, 4)], grow, change);
      expect(group.length).toBe(1);
      expect(group[0].chi).toBeGreaterThan(3);
      const bound = group[0].alpha * Math.sqrt(2 / group[0].rho);
      // The bound times the square root of chi; within the same 20 % as above.
      expect(group[0].sdOmega / (bound * Math.sqrt(group[0].chi))).toBeGreaterThan(0.9);
    },
  );

  it("fitNeighbourhood marks a line as misfitting where a search that does not grow leaves more than three deviations", () => {
    const still = (search: Search) => void Object.assign(search, { growing: false });
    expect(fitted(TWO, [candidate(1002, 4)], false, still).group[0].misfitting).toBe(true);
    expect(fitted([ONE], [candidate(1001, 4)], false, still).group[0].misfitting).toBe(false);
  });

  it("fitNeighbourhood leaves the lines of other neighbourhoods as they are, and takes them off first", () => {
    const other = { frequencyHz: 1500, alpha: 3, amplitude: 0.2 };
    const known = lineOf({ frequencyHz: 1500, alpha: 3, cRe: Float64Array.of(0.1) });
    const search = openerOf(ringDownOf([ONE, other], 8))(0, 0)!;
    const own = candidate(1001, 6);
    search.lines = [known, own];
    const before = structuredClone(known);
    fitNeighbourhood(search, [own], false);
    expect(known).toEqual(before);
    expectLine(own, ONE);
  });

  it("fitNeighbourhood(two channels) has amplitude and phase of either, and their strength together", () => {
    // The same line: 0.002 at phase 0.7, 0.001 at phase -2.
    const parts = [
      [0.002, 0.7],
      [0.001, -2],
    ];
    const rings = parts.map(([amplitude, phase], c) =>
      ringDownOf([], 30 + c, 3, (x) => {
        for (let n = 0; n < x.length; n++) {
          const t = n / RING_RATE_HZ;
          x[n] += amplitude * Math.exp(-4 * t) * Math.cos(2 * Math.PI * 1000.3 * t + phase);
        }
      }),
    );
    const ring = { ...rings[0], channels: rings.map((r) => r.channels[0]) };
    const search = searchOpener(ring, [knownNoise(), knownNoise()])(0, 0)!;
    const line = candidateLine(6, 2 * Math.PI * 1001, 2);
    search.lines = [line];
    fitNeighbourhood(search, [line], false);
    parts.forEach(([amplitude, phase], c) => {
      // The standard deviation is that of the stronger channel; of half the amplitude it is twice that part.
      const within = (5 * line.sdLogAmplitude * parts[0][0]) / 2;
      expect(Math.abs(line.cRe[c] - (amplitude / 2) * Math.cos(phase))).toBeLessThan(within);
      expect(Math.abs(line.cIm[c] - (amplitude / 2) * Math.sin(phase))).toBeLessThan(within);
    });
    const rho = parts.reduce((sum, [amplitude]) => sum + rhoOf({ ...ONE, amplitude }), 0);
    expect(Math.abs(line.rho / rho - 1)).toBeLessThan(
      5 * Math.hypot(2 / Math.sqrt(2 * rho), 1 / Math.sqrt(rho)),
    );
  });

  it.each([
    ["one of two was misfitting and it may not grow", [true, false], false, true],
    ["neither was, and it may not grow", [false, false], false, false],
    ["one of two was, and it may grow and need not", [true, false], true, false],
    ["both were, and it may grow", [true, true], true, true],
  ])("fitNeighbourhood(two lines), when %s: misfitting %j, grow %s, gives %s", (_, before, grow, after) => {
    const lines = TWO.map((line, i) => ({
      ...candidate(line.frequencyHz, line.alpha),
      misfitting: (before as boolean[])[i],
    }));
    const { group } = fitted(TWO, lines, grow as boolean);
    expect(group.map((line) => line.misfitting)).toEqual([after, after]);
  });

  it("fitNeighbourhood grows by three lines at a time at the most", () => {
    const six = Array.from({ length: 6 }, (_, i) => ({
      frequencyHz: 1000 + 5 * i,
      alpha: 4,
      amplitude: 0.002,
    }));
    const { group } = fitted(six, [candidate(1012, 12)], true);
    expect(group.length).toBeGreaterThan(1);
    expect(group.length).toBeLessThanOrEqual(4);
  });

  it("fitNeighbourhood(eight lines) does not grow", () => {
    const nine = Array.from({ length: 9 }, (_, i) => ({
      frequencyHz: 1000 + 8 * i,
      alpha: 4,
      amplitude: 0.002,
    }));
    const eight = nine.slice(0, 8).map((line) => candidate(line.frequencyHz, line.alpha));
    expect(fitted(nine, eight, true).group.length).toBe(8);
  });

  it("fitNeighbourhood(lines of known decay) does not try other rates for them", () => {
    // From 0.3 /s a fit reaches 2.4 /s: only a candidate's rate is a guess.
    const line = { ...candidate(1000.3, 0.3), cRe: Float64Array.of(1e-3) };
    expect(fitted([ONE], [line], false).group[0].alpha).toBeCloseTo(2.4, 9);
  });
});

describe("store", () => {
  /** One line fitted, and the same stored with another residual and other lines. */
  function stored(change: (band: Band, rss: number) => number, misfitting = false): Line {
    const search = openerOf(ringDownOf([ONE], 7))(0, 0)!;
    const line = candidate(1000.3, 4);
    search.lines = [line];
    const band = bandOf(search, [line]);
    const fit = fitBand(band, polesOf([line]), boundsAround(Float64Array.of(4)), search.scratch);
    store(search, [line], band, { ...fit, rss: change(band, fit.rss) }, misfitting);
    return line;
  }
  /** Complex bins less a pole, a coefficient and a constant. */
  const dof = (band: Band) => band.count - 3;

  it("store widens every error by the root of chi, where that is over one", () => {
    const plain = stored(dof);
    const wide = stored((band) => 4 * dof(band));
    const quiet = stored((band) => dof(band) / 4);
    expect([plain.chi, wide.chi, quiet.chi]).toEqual([1, 4, 0.25]);
    for (const key of ["sdOmega", "sdAlpha", "sdLogAmplitude"] as const) {
      expect(wide[key] / plain[key]).toBeCloseTo(2, 9);
      expect(quiet[key]).toBe(plain[key]);
    }
    expect(wide.covLogAmplitudeAlpha / plain.covLogAmplitudeAlpha).toBeCloseTo(4, 9);
    // sd(ln A) = 1/sqrt(rho), cov(ln A, alpha) = alpha/rho: the inverse Fisher matrix of one damped line. Its constant and the skirts beyond
    // ten linewidths cost up to a fifth.
    expect(plain.sdLogAmplitude * Math.sqrt(plain.rho)).toBeGreaterThan(0.95);
    expect(plain.sdLogAmplitude * Math.sqrt(plain.rho)).toBeLessThan(1.2);
    expect((plain.covLogAmplitudeAlpha * plain.rho) / 4).toBeGreaterThan(0.9);
    expect((plain.covLogAmplitudeAlpha * plain.rho) / 4).toBeLessThan(1.3);
  });

  it("store says of the line what it is told about its misfit", () => {
    expect(stored(dof, true).misfitting).toBe(true);
    expect(stored(dof, false).misfitting).toBe(false);
  });

  it("store(fewer poles than lines, more poles than lines) takes lines out of the search and adds them", () => {
    const search = openerOf(ringDownOf(TWO, 9))(0, 0)!;
    const bystander = candidate(2000, 3);
    const group = TWO.map(({ frequencyHz, alpha }) => candidate(frequencyHz, alpha));
    search.lines = [bystander, ...group];
    const band = bandOf(search, group);
    const [two, one] = [group, group.slice(0, 1)].map((lines) =>
      fitBand(band, polesOf(lines), boundsAround(polesOf(lines).alpha), search.scratch),
    );
    const kept = group[0];
    store(search, group, band, one, false);
    expect(group).toEqual([kept]);
    expect(search.lines).toEqual([bystander, kept]);
    store(search, group, band, two, false);
    expect(group.length).toBe(2);
    expect(search.lines).toEqual([bystander, ...group]);
    for (const [i, line] of TWO.entries()) expectLine(group[i], line);
  });
});
