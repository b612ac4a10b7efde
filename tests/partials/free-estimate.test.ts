import { describe, expect, it } from "vitest";
import { type Estimated, freeEstimate, junkOf } from "../../src/partials/free-estimate.ts";
import type { Line } from "../../src/partials/line.ts";
import type { RingDown, SearchOpener } from "../../src/partials/ring-down.ts";
import type { StableLine } from "../../src/partials/stabilise.ts";
import { type FreeStart, freeDecayStart } from "../../src/partials/start.ts";
import { lineOf } from "./lines.ts";
import { openerOf, RING_RATE_HZ, RING_SD, type RingLine, rhoOf, ringDownOf } from "./rings.ts";

const FS = RING_RATE_HZ;
const BELL: RingLine[] = [
  { frequencyHz: 500, alpha: 4, amplitude: 0.2 },
  { frequencyHz: 1210, alpha: 6, amplitude: 0.2 },
  { frequencyHz: 2530, alpha: 9, amplitude: 0.2 },
];

/** A ring that begins at `at`, in noise, and of which a fit may use what comes from `ringStartSample` on. */
function laterRing(lines: RingLine[], at: number, ringStartSample: number, seed: number): RingDown {
  const ring = ringDownOf([], seed, 1.6, (x) => {
    for (const { frequencyHz, alpha, amplitude } of lines) {
      for (let n = at; n < x.length; n++) {
        const t = (n - at) / FS;
        x[n] += amplitude * Math.exp(-alpha * t) * Math.cos(2 * Math.PI * frequencyHz * t);
      }
    }
  });
  return { ...ring, onsetSample: at, ringStartSample };
}

/** The starts that were asked for, with the estimate. */
function asked(ring: RingDown, probed: FreeStart | null = null, change: SearchOpener = openerOf(ring)) {
  const starts: number[] = [];
  const open: SearchOpener = (startSample, misfit) => {
    starts.push(startSample);
    return change(startSample, misfit);
  };
  const estimate = freeEstimate(ring, probed ?? freeDecayStart(ring.ringStartSample, openerOf(ring))!, open);
  return { estimate, starts };
}

const hertz = ({ lines }: Estimated) =>
  lines.map(({ line }) => line.omega / (2 * Math.PI)).sort((a, b) => a - b);
const rounded = (estimate: Estimated) => hertz(estimate).map(Math.round);

describe("junkOf", () => {
  const RATE = 2;
  const omega = 2 * Math.PI * 1000;
  const stable = (line: Line): StableLine => ({
    line,
    delayS: 0,
    early: { line, delayS: 0 },
    sdOmega: line.sdOmega,
    sdAlpha: line.sdAlpha,
    settled: true,
    seenIn: [],
  });
  const settled = (rho: number) => lineOf({ frequencyHz: 1000, alpha: RATE, rho });
  const three = [2000, 2500, 3000].map((frequencyHz) => lineOf({ frequencyHz, alpha: 3, rho: 30 }));

  /** Whether a line so far from a settled one is the fourth of a forest. */
  const isJunk = (byOmega: number, change: Partial<Line>, rho = 1e4) => {
    const strong = settled(rho);
    const line = { ...lineOf({ frequencyHz: 1000, alpha: RATE }), omega: omega + byOmega, ...change };
    const junk = junkOf([strong, ...three, line], [stable(strong)]);
    if (junk.length > 0) expect(junk).toEqual([...three, line]);
    return junk.length > 0;
  };

  it("junkOf wants four lines of no settled one, and takes a settled one for junk where it is too weak to be listed", () => {
    const strong = settled(1e4);
    expect(junkOf([strong, ...three], [stable(strong)])).toEqual([]);
    const weak = [settled(49), settled(51)];
    expect(junkOf([weak[0], ...three], [stable(weak[0])])).toEqual([weak[0], ...three]);
    expect(junkOf([weak[1], ...three], [stable(weak[1])])).toEqual([]);
  });

  it.each([
    [3, 0.1, 0.5 * RATE + 0.3],
    [1, 0.2, 0.5 * 1 + 0.6],
  ])(
    "junkOf takes a line of %d /s, known to %d, for the settled one within %d rad/s",
    (alpha, sdOmega, slack) => {
      for (const side of [-1, 1]) {
        const at = (share: number) => isJunk(side * share * slack, { alpha, sdOmega, rho: 20 });
        expect([at(0.99), at(1.01)]).toEqual([false, true]);
      }
    },
  );

  it("junkOf leaves out what a line a hundred times as strong may leave beside itself, if it would be listed", () => {
    // Within 0.6 % of the frequency.
    const reach = 0.006 * omega;
    expect([isJunk(0.99 * reach, { rho: 60 }), isJunk(1.01 * reach, { rho: 60 })]).toEqual([false, true]);
    expect([isJunk(20, { rho: 49 }), isJunk(20, { rho: 51 })]).toEqual([true, false]);
    expect([isJunk(20, { rho: 60 }, 5990), isJunk(20, { rho: 60 }, 6010)]).toEqual([true, false]);
  });
});

describe("freeEstimate", () => {
  it("freeEstimate(free decays) has every line, within its errors, and says what it did", () => {
    const { estimate } = asked(ringDownOf(BELL, 1, 1.5));
    const { lines, search, ...rest } = estimate!;
    expect(rest).toEqual({
      startSample: 2,
      freeDecay: true,
      tried: 3,
      stopReason: "nothing new stands out",
      junk: [],
      glide: null,
      leftShare: 0,
    });
    expect(search?.lines.length).toBe(3);
    const found = lines.toSorted((a, b) => a.line.omega - b.line.omega);
    BELL.forEach(({ frequencyHz, alpha }, i) => {
      expect(Math.abs(found[i].line.omega - 2 * Math.PI * frequencyHz)).toBeLessThan(5 * found[i].sdOmega);
      expect(Math.abs(found[i].line.alpha - alpha)).toBeLessThan(5 * found[i].sdAlpha);
      expect(found[i].settled).toBe(true);
    });
  });

  it("freeEstimate(lines known) begins two samples after where they first explain the sound", () => {
    for (const seed of [2, 3]) {
      const { estimate, starts } = asked(laterRing(BELL, 500, 520, seed));
      expect(estimate?.startSample).toBe(502);
      expect(starts[0]).toBe(502);
      expect(rounded(estimate!)).toEqual([500, 1210, 2530]);
    }
  });

  it("freeEstimate(a ring after a bounce) uses nothing before the last contact", () => {
    const ring = { ...laterRing(BELL, 500, 520, 2), bounced: true };
    expect(asked(ring).estimate?.startSample).toBe(520);
  });

  it.each([
    // From so far on, and where it begins in the end.
    ["late by twenty samples", 520, [522, 502]],
    ["early by twenty samples", 478, [480, 502]],
    ["late by half a millisecond", 504, [506]],
    ["late by more", 505, [507, 502]],
    ["early by two samples", 498, [500]],
    ["early by three", 497, [499, 502]],
  ])("freeEstimate(no line known beforehand, %s) begins anew where all lines say", (_, from, begun) => {
    const ring = laterRing(BELL, 500, from, 4);
    const { estimate, starts } = asked(ring, { startSample: ring.ringStartSample, lines: [] });
    expect(starts.slice(0, begun.length)).toEqual(begun);
    expect(estimate?.startSample).toBe(begun.at(-1));
    expect(rounded(estimate!)).toEqual([500, 1210, 2530]);
    expect(estimate?.stopReason).toBe("nothing new stands out");
    // What is next is a later start, not another beginning.
    expect(starts[begun.length]).toBeGreaterThan(begun.at(-1)! + 100);
  });

  it("freeEstimate(a late start) begins there, whatever is before it", () => {
    const ring = ringDownOf(BELL, 5, 1.5);
    const { estimate, starts } = asked(ring, { startSample: 800, lines: [] });
    expect([estimate?.startSample, starts[0]]).toEqual([800, 800]);
    expect(rounded(estimate!)).toEqual([500, 1210, 2530]);
  });

  it("freeEstimate(too little of a ring) is null, and noise alone has no lines", () => {
    const ring = ringDownOf(BELL, 6, 1.5);
    expect(asked(ring, null, () => null).estimate).toBeNull();
    const empty = asked(ringDownOf([], 6, 1), { startSample: 0, lines: [] });
    expect(empty.starts).toEqual([2]);
    expect(empty.estimate).toMatchObject({ lines: [], tried: 0, junk: [], startSample: 2 });
  });

  it("freeEstimate(a search that ends at a limit) is null", () => {
    const ring = ringDownOf(BELL, 7, 1.5);
    const dear: SearchOpener = (startSample, misfit) => {
      const search = openerOf(ring)(startSample, misfit);
      if (search) search.workLimit = 0;
      return search;
    };
    expect(asked(ring, null, dear).estimate).toBeNull();
  });

  it("freeEstimate(a neighbourhood of lines that decay unlike) is null where one in three is so, not one in four", () => {
    // Within a linewidth of one another, at 1.5 and 6 a second: no doublet.
    const smeared = [
      { frequencyHz: 700, alpha: 1.5, amplitude: 0.2 },
      { frequencyHz: 700.5, alpha: 6, amplitude: 0.2 },
    ];
    const of = (lines: RingLine[], strict: boolean) => {
      const ring = ringDownOf(lines, 9, 2);
      return freeEstimate(ring, { startSample: 80, lines: [] }, openerOf(ring), strict);
    };
    for (const strict of [false, true]) {
      expect(of([...smeared, BELL[1]], strict)).toBeNull();
      expect(rounded(of([...smeared, ...BELL.slice(1)], strict)!)).toEqual([700, 701, 1210, 2530]);
    }
  });

  it("freeEstimate(rates that differ, though not by their errors) is null only where it is strict", () => {
    const pair = [
      { frequencyHz: 700, alpha: 2, amplitude: 0.02 },
      { frequencyHz: 701.2, alpha: 4.5, amplitude: 1e-4 },
    ];
    // The rate of the weak one is known to 0.4 at best: three of that are more than it is over 1.6 times the other's.
    expect(4.5 * Math.sqrt(2 / rhoOf(pair[1]))).toBeGreaterThan(0.4);
    const triplet = [1210, 1220, 1230].map((frequencyHz) => ({ ...BELL[1], frequencyHz }));
    const ring = ringDownOf([...pair, ...triplet], 15, 2);
    const of = (strict: boolean) =>
      freeEstimate(ring, { startSample: 80, lines: [] }, openerOf(ring), strict);
    expect(of(false)?.tried).toBe(5);
    expect(of(true)).toBeNull();
  });

  it("freeEstimate(lines that go on gliding) is null: too few of them settle", () => {
    const ring = ringDownOf([], 11, 2, (x) => {
      for (const f of [500, 900, 1500]) {
        for (let n = 0; n < x.length; n++) {
          const t = n / FS;
          x[n] += 0.1 * Math.exp(-1.5 * t) * Math.cos(2 * Math.PI * (f * t + 0.003 * f * t * t));
        }
      }
    });
    expect(asked(ring, { startSample: 80, lines: [] }).estimate).toBeNull();
  });
});

describe("freeEstimate, lines too weak to be listed", () => {
  /** A line of this matched-filter SNR. */
  const weak = (frequencyHz: number, rho: number): RingLine => ({
    frequencyHz,
    alpha: 4,
    amplitude: Math.sqrt((8 * 4 * RING_SD ** 2 * rho) / FS),
  });
  const estimated = (lines: RingLine[]) =>
    asked(ringDownOf(lines, 12, 2), { startSample: 8, lines: [] }).estimate!;

  it("freeEstimate(four lines under the level of a partial) calls them a forest, and takes out what does not stand over it", () => {
    const forest = [1500, 1600, 1700, 1800].map((f) => weak(f, 36));
    // Ten decibels over them is clear, within an octave; a line far below is of another place.
    const estimate = estimated([weak(1300, 250), weak(2000, 5000), weak(600, 250), ...forest]);
    expect(estimate.junk.map(({ omega }) => Math.round(omega / (2 * Math.PI))).sort()).toEqual([
      1500, 1600, 1700, 1800,
    ]);
    expect(rounded(estimate)).toEqual([600, 2000]);
    expect(estimate.tried).toBe(7);
  });

  it("freeEstimate(three of them) lists all that is there", () => {
    const few = [1500, 1600, 1700].map((f) => weak(f, 36));
    const estimate = estimated([weak(1300, 250), weak(2000, 2000), ...few]);
    expect(estimate.junk).toEqual([]);
    expect(rounded(estimate)).toEqual([1300, 1500, 1600, 1700, 2000]);
  });
});
