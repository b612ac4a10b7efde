import { describe, expect, it } from "vitest";
import type { RingDown, SearchOpener } from "../../src/partials/ring-down.ts";
import type { Search } from "../../src/partials/search.ts";
import { settledRing } from "../../src/partials/settled-ring.ts";
import { openerOf, RING_RATE_HZ, type RingLine, ringDownOf } from "./rings.ts";

const FS = RING_RATE_HZ;
const BELL: RingLine[] = [
  { frequencyHz: 500, alpha: 1.5, amplitude: 0.2 },
  { frequencyHz: 1210, alpha: 2, amplitude: 0.2 },
  { frequencyHz: 2530, alpha: 2.5, amplitude: 0.2 },
];

/** A ring that noise as loud as itself hides until `untilS`. */
const hiddenUntil = (untilS: number, lines: RingLine[], seconds: number, seed = 1): RingDown =>
  ringDownOf(lines, seed, seconds, (x, random) => {
    for (let n = 0; n < untilS * FS; n++) x[n] += 0.2 * random.normal();
  });

/** What has settled, with every search that was opened and where. */
function settled(ring: RingDown) {
  const opened: { startSample: number; misfit: number; search: Search | null }[] = [];
  const open = openerOf(ring);
  const watched: SearchOpener = (startSample, misfit) => {
    const search = open(startSample, misfit);
    opened.push({ startSample, misfit, search });
    return search;
  };
  return { found: settledRing(ring, watched), opened };
}

describe("settledRing", () => {
  it("settledRing(a ring that is free decays from half a second on) begins at the first start after that, and finds every line", () => {
    const { found, opened } = settled(hiddenUntil(0.5, BELL, 2.5));
    expect(found?.delayS).toBe(0.8);
    const { lines, startSample, ...rest } = found!.estimate;
    expect(startSample).toBe(0);
    expect([rest.freeDecay, rest.glide, rest.stopReason]).toEqual([true, null, "nothing new stands out"]);
    expect(lines.length).toBe(3);
    const sorted = lines.toSorted((a, b) => a.line.omega - b.line.omega);
    BELL.forEach(({ frequencyHz, alpha, amplitude }, i) => {
      const { line, delayS, early, sdOmega, sdAlpha } = sorted[i];
      expect(Math.abs(line.omega - 2 * Math.PI * frequencyHz)).toBeLessThan(4 * sdOmega);
      expect(Math.abs(line.alpha - alpha)).toBeLessThan(4 * sdAlpha);
      // Counted from the earliest sample: there, 0.8 s on, the line has fallen as it decays.
      expect(delayS).toBe(0.8);
      expect(early).toEqual({ line, delayS: 0.8 });
      const level = 2 * Math.hypot(line.cRe[0], line.cIm[0]);
      expect(level / (amplitude * Math.exp(-alpha * 0.8))).toBeCloseTo(1, 2);
    });
    // Asked with an allowance first, from 0.4 s, then from 0.8 s; the search itself has none.
    expect(opened.slice(0, 3).map(({ startSample, misfit }) => [startSample, misfit])).toEqual([
      [0.4 * FS, 0.05],
      [0.8 * FS, 0.05],
      [0.8 * FS, 0],
    ]);
  });

  it("settledRing adds to the errors what later fits are off by", () => {
    // 0.02 Hz high at 0.4 s and settling with 0.3 s: a twenty-fifth of a linewidth, seen by its frequency alone.
    const ring = ringDownOf(BELL.slice(1), 2, 3, (x) => {
      for (let n = 0; n < x.length; n++) {
        const t = n / FS;
        const turn = 2 * Math.PI * (500 * t - 0.02 * 0.3 * Math.expm1(-(t - 0.4) / 0.3));
        x[n] += 0.004 * Math.exp(-1.5 * t) * Math.cos(turn);
      }
    });
    const { found } = settled(ring);
    expect(found?.delayS).toBe(0.4);
    const low = found!.estimate.lines.find(({ line }) => line.omega < 2 * Math.PI * 600)!;
    expect(Math.abs(low.line.omega - 2 * Math.PI * 500)).toBeGreaterThan(3 * low.line.sdOmega);
    expect(Math.abs(low.line.omega - 2 * Math.PI * 500)).toBeLessThan(3 * low.sdOmega);
  });

  it("settledRing wants a second of ring after the start, and two lines", () => {
    expect(settled(ringDownOf(BELL, 4, 1.4)).found?.delayS).toBe(0.4);
    expect(settled(ringDownOf(BELL, 4, 1.39))).toEqual({ found: null, opened: [] });
    expect(settled(ringDownOf(BELL.slice(0, 2), 5, 1.5)).found?.delayS).toBe(0.4);
    // With one line every start is tried of which a second is left.
    const { found, opened } = settled(ringDownOf(BELL.slice(0, 1), 5, 2));
    expect(found).toBeNull();
    expect(opened.filter(({ misfit }) => misfit > 0).map(({ startSample }) => startSample / FS)).toEqual([
      0.4, 0.8,
    ]);
  });

  it("settledRing counts from the earliest sample that may be used", () => {
    const ring = { ...hiddenUntil(0.5, BELL, 2.6), ringStartSample: 0.3 * FS };
    const { found, opened } = settled(ring);
    // 0.4 s after 0.3 s the noise is over.
    expect(found?.delayS).toBe(0.4);
    expect(found?.estimate.startSample).toBe(0.3 * FS);
    expect(opened[0].startSample).toBeCloseTo(0.7 * FS, 9);
  });

  it("settledRing gives up a search that costs thirty million, and one of nothing at once", () => {
    const { opened } = settled(hiddenUntil(0.3, BELL, 2));
    const whole = opened.find(({ misfit }) => misfit === 0);
    expect(whole?.search?.workLimit).toBe(3e7);
    expect(settledRing(hiddenUntil(0, BELL, 2), () => null)).toBeNull();
  });

  it("settledRing leaves out a line whose decay rate is not known to 0.35 of it", () => {
    // At 0.8 s two seconds are left of a ring that falls by a twentieth in them; of rho 600 its rate is known to 0.05.
    const slow = { frequencyHz: 1700, alpha: 0.03, amplitude: 4e-5 };
    const { found } = settled(hiddenUntil(0.5, [...BELL, slow], 2.8));
    expect(found?.estimate.search?.lines.length).toBe(4);
    expect(
      found?.estimate.lines.map(({ line }) => Math.round(line.omega / (2 * Math.PI))).sort((a, b) => a - b),
    ).toEqual([500, 1210, 2530]);
  });

  it("settledRing leaves out the weaker of two lines that decay unlike within a linewidth, among others enough", () => {
    const beside = { frequencyHz: 1210.4, alpha: 5, amplitude: 0.1 };
    const { found } = settled(hiddenUntil(0.5, [...BELL, beside], 2.8, 3));
    expect(found?.estimate.search?.lines.length).toBe(4);
    expect(found?.estimate.lines.length).toBe(3);
    expect(found?.estimate.lines.every(({ line }) => line.alpha < 3)).toBe(true);
  });

  it("settledRing takes rates that differ for other rates, however badly they are known", () => {
    const triplet = [1210, 1220, 1230].map((frequencyHz) => ({ frequencyHz, alpha: 4, amplitude: 0.2 }));
    const pair = [
      { frequencyHz: 700, alpha: 2, amplitude: 0.02 },
      { frequencyHz: 701.2, alpha: 4.5, amplitude: 6e-4 },
    ];
    // One of two neighbourhoods is smeared so: no free decays, at the only start of which a second is left.
    expect(settled(ringDownOf([...pair, ...triplet], 6, 1.7)).found).toBeNull();
    expect(settled(ringDownOf([pair[0], ...triplet], 6, 1.7)).found?.delayS).toBe(0.4);
  });
});
