import { describe, expect, it } from "vitest";
import type { RingDown, SearchOpener } from "../../src/partials/ring-down.ts";
import type { Search } from "../../src/partials/search.ts";
import type { StableLine } from "../../src/partials/stabilise.ts";
import { tieredEstimate } from "../../src/partials/tiers.ts";
import { openerOf, RING_RATE_HZ, type RingLine, ringDownOf } from "./rings.ts";

const FS = RING_RATE_HZ;
const SLOW: RingLine[] = [
  { frequencyHz: 500, alpha: 2, amplitude: 0.02 },
  { frequencyHz: 1210, alpha: 3, amplitude: 0.02 },
];
/** Fallen by 65 dB when 0.3 s have gone. */
const FAST: RingLine = { frequencyHz: 2530, alpha: 25, amplitude: 0.02 };

/** What is estimated, and the searches without growth that were opened for it: start and allowance for misfit. */
function estimated(ring: RingDown) {
  const opened: { startSample: number; misfit: number; search: Search | null }[] = [];
  const open = openerOf(ring);
  const watched: SearchOpener = (startSample, misfit) => {
    const search = open(startSample, misfit);
    if (misfit === 0.02) opened.push({ startSample, misfit, search });
    return search;
  };
  const estimate = tieredEstimate(ring, watched);
  return { estimate, starts: opened.map(({ startSample }) => startSample / FS), opened };
}

const near = (lines: StableLine[], frequencyHz: number) =>
  lines.filter(({ line }) => Math.abs(line.omega / (2 * Math.PI) - frequencyHz) < 1);
const hertz = (lines: StableLine[]) =>
  lines.map(({ line }) => Math.round(line.omega / (2 * Math.PI))).sort((a, b) => a - b);
const millis = (...starts: number[]) => starts.map((ms) => `the ring from ${ms} ms`);

/** Adds a decay that sounds between two times alone. */
function addPiece(
  x: Float64Array,
  { frequencyHz, alpha, amplitude }: RingLine,
  fromS: number,
  toS: number,
): void {
  for (let n = Math.round(fromS * FS); n < toS * FS; n++) {
    const t = n / FS;
    x[n] += amplitude * Math.exp(-alpha * t) * Math.cos(2 * Math.PI * frequencyHz * t);
  }
}

describe("tieredEstimate, a ring too short to settle", () => {
  it("tieredEstimate has what its starts agree upon, from 30 ms to two fifths of it", () => {
    const { estimate, starts, opened } = estimated(ringDownOf([...SLOW, FAST], 1, 1.2));
    expect(starts).toEqual([0.03, 0.1, 0.2, 0.4]);
    const { lines, search, ...rest } = estimate;
    expect(rest).toEqual({
      startSample: 0,
      freeDecay: false,
      glide: null,
      tried: 3,
      stopReason: "nothing new stands out",
      junk: [],
    });
    expect(search).toBe(opened[3].search);
    expect(opened.every((o) => o.search?.growing === false)).toBe(true);
    expect(hertz(lines)).toEqual([500, 1210, 2530]);
    for (const { frequencyHz, alpha } of SLOW) {
      const [stable] = near(lines, frequencyHz);
      expect(Math.abs(stable.line.omega - 2 * Math.PI * frequencyHz)).toBeLessThan(4 * stable.sdOmega);
      expect(Math.abs(stable.line.alpha - alpha)).toBeLessThan(4 * stable.sdAlpha);
      expect(stable.seenIn).toEqual(millis(30, 100, 200, 400));
      expect(stable.early.delayS).toBe(0.03);
    }
    expect(near(lines, 2530)[0].seenIn.slice(0, 2)).toEqual(millis(30, 100));
  });

  it("tieredEstimate counts from the earliest sample that may be used", () => {
    const ring = { ...ringDownOf(SLOW, 2, 1.8), ringStartSample: 0.6 * FS };
    const { estimate, starts } = estimated(ring);
    expect(starts.map((s) => s - 0.6).map((s) => Math.round(1000 * s))).toEqual([30, 100, 200, 400]);
    expect(estimate.startSample).toBe(0.6 * FS);
    expect(hertz(estimate.lines)).toEqual([500, 1210]);
  });

  it("tieredEstimate(a ring of a third of a second) has two starts, however short it is, if there are two", () => {
    expect(estimated(ringDownOf(SLOW, 3, 0.33)).starts).toEqual(
      [0.03, 0.1, 0.2].slice(0, 3).filter((s) => s < 0.132),
    );
    expect(estimated(ringDownOf(SLOW, 3, 0.2)).starts).toEqual([0.03, 0.1]);
    // Of a tenth of a second nothing is left at the second start.
    const tenth = estimated(ringDownOf(SLOW, 3, 0.1));
    expect(tenth.starts).toEqual([0.03, 0.1]);
    expect(tenth.opened.map(({ search }) => search === null)).toEqual([false, true]);
    expect(tenth.estimate.lines).toEqual([]);
  });

  it("tieredEstimate(next to nothing) says that it is too short", () => {
    const { estimate } = estimated(ringDownOf(SLOW, 4, 0.05));
    expect(estimate).toMatchObject({ lines: [], tried: 0, stopReason: "too short", search: null, junk: [] });
  });

  it("tieredEstimate keeps, of two lines within a linewidth, what is the louder late", () => {
    // The one that dies is the louder at the last start but three, the other at the last.
    const pair = [
      { frequencyHz: 800, alpha: 2, amplitude: 0.01 },
      { frequencyHz: 801.5, alpha: 12, amplitude: 0.03 },
    ];
    const { estimate } = estimated(ringDownOf([...SLOW, ...pair], 5, 1.3));
    const kept = near(estimate.lines, 800.7);
    expect(kept.length).toBe(1);
    expect(kept[0].line.alpha).toBeCloseTo(2, 0);
  });
});

describe("tieredEstimate, a ring that settles", () => {
  it("tieredEstimate has the lines of the settled ring, their beginning from the first start that has them, and what died before", () => {
    const { estimate, starts, opened } = estimated(ringDownOf([...SLOW, FAST], 6, 2));
    expect(starts).toEqual([0.03, 0.1, 0.2]);
    expect(hertz(estimate.lines)).toEqual([500, 1210, 2530]);
    expect([estimate.freeDecay, estimate.glide, estimate.startSample]).toEqual([false, null, 0]);
    for (const { frequencyHz, amplitude, alpha } of SLOW) {
      const [stable] = near(estimate.lines, frequencyHz);
      expect(stable.delayS).toBe(0.4);
      expect(stable.early.delayS).toBe(0.03);
      const level = 2 * Math.hypot(stable.early.line.cRe[0], stable.early.line.cIm[0]);
      expect(level / (amplitude * Math.exp(-alpha * 0.03))).toBeCloseTo(1, 2);
      expect(stable.seenIn.slice(0, 3)).toEqual(millis(30, 100, 200));
      expect(stable.seenIn.length).toBe(4);
    }
    expect(near(estimate.lines, 2530)[0].early.delayS).toBe(0.03);
    // The search is that of the settled ring.
    expect(opened.some(({ search }) => search === estimate.search)).toBe(false);
    expect(estimate.search?.lines.length).toBeGreaterThan(1);
    expect(estimate.tried).toBe(3);
  });

  it("tieredEstimate leaves out what ends before its own decay ends it", () => {
    const piece = { frequencyHz: 1800, alpha: 4, amplitude: 0.002 };
    const ring = ringDownOf([...SLOW, { ...FAST, amplitude: 0.1 }], 7, 2, (x) => addPiece(x, piece, 0, 0.17));
    const { estimate, opened } = estimated(ring);
    // It was found at the first start at least.
    const found = opened[0].search!.lines.some(({ omega }) => Math.abs(omega / (2 * Math.PI) - 1800) < 5);
    expect(found).toBe(true);
    expect(hertz(estimate.lines).filter((f) => Math.abs(f - 1800) < 30)).toEqual([]);
    expect(near(estimate.lines, 2530).length).toBe(1);
  });

  it("tieredEstimate leaves out what stands out of nothing that comes and goes", () => {
    // Bursts of which each is heard at one start alone, over a tenth of the energy of a weak partial among them.
    const weak = { frequencyHz: 3100, alpha: 12, amplitude: 0.0009 };
    const ring = (level: number) =>
      ringDownOf([...SLOW, { ...FAST, amplitude: 0.2 }, weak], 8, 2, (x) => {
        for (const [i, f] of [2050, 2250, 2800, 3300].entries()) {
          for (const [k, fromS] of [0.03, 0.1].entries()) {
            const piece = { frequencyHz: f + 50 * k, alpha: 40, amplitude: level * Math.exp(40 * fromS) };
            addPiece(x, piece, fromS, fromS + 0.055 + 0.003 * i);
          }
        }
      });
    const of = (level: number) => estimated(ring(level)).estimate.lines;
    expect(near(of(0), 3100).length).toBe(1);
    const among = of(0.0012);
    expect(near(among, 3100).length).toBe(0);
    expect(near(among, 2530).length).toBe(1);
    expect(hertz(among)).toEqual([500, 1210, 2530]);
  });

  it("tieredEstimate judges the weakest first: what does not stand out is junk to the next", () => {
    // Bursts at a quarter of the energy of a weak partial, which is at a quarter of the next one's: each within 10 dB of the one before.
    const weak = { frequencyHz: 3100, alpha: 12, amplitude: 0.0009 };
    const next = { frequencyHz: 2800, alpha: 12, amplitude: 0.0018 };
    const ring = (lines: RingLine[], bursts: boolean) =>
      ringDownOf([...SLOW, { ...FAST, amplitude: 0.2 }, ...lines], 12, 2, (x) => {
        for (const f of bursts ? [2050, 2250, 3300] : []) {
          addPiece(x, { frequencyHz: f, alpha: 40, amplitude: 0.00057 * Math.exp(40 * 0.03) }, 0.03, 0.085);
          addPiece(
            x,
            { frequencyHz: f + 50, alpha: 40, amplitude: 0.00025 * Math.exp(40 * 0.1) },
            0.1,
            0.155,
          );
        }
      });
    const of = (lines: RingLine[], bursts: boolean) => hertz(estimated(ring(lines, bursts)).estimate.lines);
    expect(of([weak, next], false)).toEqual([500, 1210, 2530, 2800, 3100]);
    expect(of([next], true)).toEqual([500, 1210, 2530, 2800]);
    expect(of([weak, next], true)).toEqual([500, 1210, 2530]);
  });

  it("tieredEstimate takes an early line beside a settled one, of another rate, for that one's departure", () => {
    const beside = { frequencyHz: 1211.5, alpha: 20, amplitude: 0.01 };
    const { estimate } = estimated(ringDownOf([...SLOW, FAST, beside], 9, 2));
    expect(hertz(estimate.lines)).toEqual([500, 1210, 2530]);
  });
});
