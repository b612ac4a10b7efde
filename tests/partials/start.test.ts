import { describe, expect, it } from "vitest";
import { updateResidual } from "../../src/partials/residual.ts";
import type { Search } from "../../src/partials/search.ts";
import { freeDecayShare, freeDecayStart, misfitShare } from "../../src/partials/start.ts";
import type { Random } from "../support/synthetic/index.ts";
import { openerOf, RING_RATE_HZ, type RingLine, ringDownOf } from "./rings.ts";

const BELL: RingLine[] = [
  { frequencyHz: 500, alpha: 4, amplitude: 0.2 },
  { frequencyHz: 1210, alpha: 6, amplitude: 0.2 },
  { frequencyHz: 2530, alpha: 9, amplitude: 0.2 },
];

/** Noise as loud as the lines until `untilS`, as of a room or a bouncing rod: not a sum of a few damped lines. */
const noisyUntil = (untilS: number) => (x: Float64Array, random: Random) => {
  for (let n = 0; n < untilS * RING_RATE_HZ; n++) x[n] += 0.2 * random.normal();
};

function opened(ring: ReturnType<typeof ringDownOf>, delayS = 0): Search {
  const search = openerOf(ring)(Math.round(delayS * RING_RATE_HZ), 0)!;
  updateResidual(search, false);
  return search;
}

describe("misfitShare", () => {
  it("misfitShare(noise alone) is nought, with no line", () => {
    const search = opened(ringDownOf([], 1));
    expect(misfitShare(search)).toBe(0);
    expect(search.lines).toEqual([]);
  });

  it("misfitShare(free decays) is nought, and leaves the lines as fitted", () => {
    const search = opened(ringDownOf(BELL, 2));
    expect(misfitShare(search)).toBe(0);
    const lines = search.lines.toSorted((a, b) => a.omega - b.omega);
    expect(lines.length).toBe(BELL.length);
    BELL.forEach(({ frequencyHz, alpha }, i) => {
      // Five standard errors as the fit itself gives them.
      expect(Math.abs(lines[i].omega - 2 * Math.PI * frequencyHz)).toBeLessThan(5 * lines[i].sdOmega);
      expect(Math.abs(lines[i].alpha - alpha)).toBeLessThan(5 * lines[i].sdAlpha);
    });
  });

  it("misfitShare(noise as loud as the lines for 50 ms) is more than a real ring may have", () => {
    expect(misfitShare(opened(ringDownOf(BELL, 3, 3, noisyUntil(0.05))))).toBeGreaterThan(3e-4);
  });
});

describe("misfitShare, lines beside those that were asked", () => {
  /** Six lines that are asked first, and beside each a weaker one of the same rate, so many half linewidths away. */
  const beside = (halfWidths: number): RingLine[] =>
    [600, 1100, 1600, 2100, 2600, 3100].flatMap((frequencyHz) => [
      { frequencyHz, alpha: 4, amplitude: 0.2 },
      { frequencyHz: frequencyHz + (halfWidths * 4) / (2 * Math.PI), alpha: 4, amplitude: 0.02 },
    ]);

  it("misfitShare(weaker lines outside the neighbourhoods, within their bands) finds them too, and leaves nothing", () => {
    const search = opened(ringDownOf(beside(18), 7, 2));
    expect(misfitShare(search)).toBeLessThanOrEqual(3e-4);
    expect(search.lines.length).toBe(12);
  });
});

describe("freeDecayStart", () => {
  it("freeDecayStart(free decays) is that start, with its lines", () => {
    const ring = ringDownOf(BELL, 4);
    const start = freeDecayStart(ring.ringStartSample, openerOf(ring));
    expect(start?.startSample).toBe(ring.ringStartSample);
    expect(start?.lines.length).toBe(BELL.length);
  });

  it("freeDecayStart(noise for the first 80 ms) is null before it has gone, and not after", () => {
    const ring = ringDownOf(BELL, 5, 3, noisyUntil(0.08));
    const at = (delayS: number) => freeDecayStart(Math.round(delayS * RING_RATE_HZ), openerOf(ring));
    expect([0, 0.05, 0.1].map((delayS) => at(delayS) !== null)).toEqual([false, false, true]);
  });

  it("freeDecayStart(too little left to search in) is null", () => {
    expect(freeDecayStart(0, () => null)).toBe(null);
  });
});

describe("freeDecayShare", () => {
  it("freeDecayShare(lines fitted to free decays) is nought, to a ring in noise more than one may have", () => {
    const share = (ring: ReturnType<typeof ringDownOf>) => {
      const search = opened(ring);
      misfitShare(search);
      return freeDecayShare(search);
    };
    expect(share(ringDownOf(BELL, 2))).toBe(0);
    expect(share(ringDownOf(BELL, 3, 3, noisyUntil(0.05)))).toBeGreaterThan(3e-4);
  });
});
