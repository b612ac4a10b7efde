import { describe, expect, it } from "vitest";
import type { Line } from "../../src/partials/line.ts";
import { bandOf, neighbourhoods } from "../../src/partials/neighbourhood.ts";
import { levelFor } from "../../src/partials/search.ts";
import { lineOf } from "./lines.ts";
import { RATE_HZ, searchOf, VARIANCE } from "./searches.ts";

const groupsOf = (lines: Line[]): number[][] =>
  neighbourhoods(searchOf(lines)).map((group) => group.map((line) => Math.round(line.omega / (2 * Math.PI))));

describe("neighbourhoods", () => {
  it("neighbourhoods(no lines) is empty", () => {
    expect(groupsOf([])).toEqual([]);
  });

  it("neighbourhoods(lines) joins what is nearer than six linewidths and four bins, whatever the order", () => {
    // Linewidth 5/pi = 1.59 Hz; its transform of 3 s has bins of 0.33 Hz: 10.9 Hz.
    const at = (frequencyHz: number) => lineOf({ frequencyHz, alpha: 5 });
    expect(groupsOf([at(1010), at(1000)])).toEqual([[1000, 1010]]);
    expect(groupsOf([at(1012), at(1000)])).toEqual([[1000], [1012]]);
  });

  it("neighbourhoods(a chain of lines) is one neighbourhood though its ends are far apart", () => {
    const chain = [1000, 1020, 1010, 1030].map((frequencyHz) => lineOf({ frequencyHz, alpha: 5 }));
    expect(groupsOf(chain).map((group) => group.toSorted((a, b) => a - b))).toEqual([
      [1000, 1010, 1020, 1030],
    ]);
  });

  it("neighbourhoods(a line within a much faster one) fits them in turn, each in the transform that suits it", () => {
    const slow = lineOf({ frequencyHz: 1000, alpha: 1 });
    expect(groupsOf([slow, lineOf({ frequencyHz: 1005, alpha: 30 })])).toEqual([[1000, 1005]]);
    expect(groupsOf([slow, lineOf({ frequencyHz: 1005, alpha: 50 })])).toEqual([[1000], [1005]]);
    // Forty times is the limit whatever the rate: 79 /s over 2 /s, 5 /s over 0.1 /s.
    const pair = (a: number, b: number) => [
      lineOf({ frequencyHz: 1000, alpha: a }),
      lineOf({ frequencyHz: 1002, alpha: b }),
    ];
    expect(groupsOf(pair(2, 79)).length).toBe(1);
    expect(groupsOf(pair(0.1, 5)).length).toBe(2);
  });

  it("neighbourhoods(two lines that hardly decay) joins them, whatever the ratio of their rates", () => {
    const pair = [lineOf({ frequencyHz: 1000, alpha: 0.01 }), lineOf({ frequencyHz: 1001, alpha: 0.9 })];
    expect(groupsOf(pair).length).toBe(1);
  });
});

describe("bandOf", () => {
  it("bandOf(a line) has the bins within ten linewidths of it, whitened, in the shortest transform that holds its decay", () => {
    const line = lineOf({ frequencyHz: 1000, alpha: 20 });
    const search = searchOf([line]);
    const band = bandOf(search, [line]);
    expect(band.level).toBe(levelFor(search, 20, 1000));
    expect((band.size / RATE_HZ) * 20).toBeGreaterThanOrEqual(8);
    expect((band.size / RATE_HZ) * 20).toBeLessThan(16);
    const bin = RATE_HZ / band.size;
    const reach = (10 * 20) / Math.PI;
    expect(band.bins[0] * bin).toBeGreaterThan(1000 - reach - 1.01 * bin);
    expect(band.bins[0] * bin).toBeLessThanOrEqual(1000 - reach);
    expect(band.bins[band.count - 1] * bin).toBeGreaterThanOrEqual(1000 + reach);
    const { weight } = band.channels[0];
    for (const w of weight) expect(w).toBeCloseTo(1 / Math.sqrt(band.size * VARIANCE), 9);
  });

  it("bandOf(a slow line) has eight bins to either side at least", () => {
    const line = lineOf({ frequencyHz: 1000, alpha: 0.05 });
    const { count } = bandOf(searchOf([line]), [line]);
    expect(count).toBeGreaterThanOrEqual(17);
    expect(count).toBeLessThanOrEqual(19);
  });

  it("bandOf(a group) ascends without a bin twice, joins the lines' reaches and leaves what lies between", () => {
    const group = [1000, 1003, 1060].map((frequencyHz) => lineOf({ frequencyHz, alpha: 1 }));
    const band = bandOf(searchOf(group), group);
    for (let i = 1; i < band.count; i++) expect(band.bins[i]).toBeGreaterThan(band.bins[i - 1]);
    const bin = RATE_HZ / band.size;
    const inside = (f: number) => band.bins.includes(Math.round(f / bin));
    expect([1000, 1003, 1060].every(inside)).toBe(true);
    expect(inside(1030)).toBe(false);
  });

  it("bandOf(a group in any order) has the bins of them all", () => {
    const lines = [1060, 1000, 1003].map((frequencyHz) => lineOf({ frequencyHz, alpha: 1 }));
    const search = searchOf([]);
    const ascending = bandOf(search, [lines[1], lines[2], lines[0]]);
    expect(bandOf(search, lines).bins).toEqual(ascending.bins);
  });

  it("bandOf(lines of different decay) takes the transform of the slowest", () => {
    const group = [2, 20].map((alpha) => lineOf({ frequencyHz: 1000 + alpha, alpha }));
    const search = searchOf([]);
    expect(levelFor(search, 2, 1000)).not.toBe(levelFor(search, 20, 1000));
    expect(bandOf(search, group).level).toBe(levelFor(search, 2, 1000));
  });

  it("bandOf(a line near either end of the spectrum) leaves out the constant and the highest bin, which have no image", () => {
    const search = searchOf([]);
    const [low, high] = [2, RATE_HZ / 2 - 2].map((frequencyHz) =>
      bandOf(search, [lineOf({ frequencyHz, alpha: 2 })]),
    );
    expect(low.bins[0]).toBe(1);
    expect(high.bins[high.count - 1]).toBe(high.size / 2 - 1);
  });

  it("bandOf(a line in coloured noise) is whitened by the noise at its own frequency", () => {
    const line = lineOf({ frequencyHz: 1000, alpha: 5 });
    const search = searchOf([]);
    // A thousand times as much above 2 kHz.
    for (const [noise] of search.noise) {
      noise.variance = noise.centresHz.map((f) => (f < 2000 ? VARIANCE : 1000 * VARIANCE));
    }
    const { weight, size } = { ...bandOf(search, [line]).channels[0], size: bandOf(search, [line]).size };
    for (const w of weight) expect(w * Math.sqrt(size * VARIANCE)).toBeCloseTo(1, 6);
  });

  it("bandOf(a slow line and a fast one) cuts their reach to its limit of bins and no further, the slow line's own among them", () => {
    const slow = lineOf({ frequencyHz: 3000, alpha: 2 });
    const fast = lineOf({ frequencyHz: 3010, alpha: 200 });
    const band = bandOf(searchOf([]), [slow, fast]);
    const bin = RATE_HZ / band.size;
    // Ten linewidths to either side would be 3820 bins of a third of a hertz.
    expect((2 * 10 * 200) / Math.PI / bin).toBeGreaterThan(2 * 1600);
    expect(band.count).toBeLessThanOrEqual(1600);
    // Cut by steps of 0.6.
    expect(band.count).toBeGreaterThan(0.6 * 1600);
    for (let k = -8; k <= 8; k++) expect(band.bins.includes(Math.round(3000 / bin) + k)).toBe(true);
    expect((band.bins[0] + band.bins[band.count - 1]) / 2).toBeCloseTo(3010 / bin, -1);
  });

  it("bandOf(a hundred slow lines) keeps eight bins to either side of each, be they more than its limit", () => {
    const group = Array.from({ length: 100 }, (_, i) => lineOf({ frequencyHz: 1000 + 50 * i, alpha: 0.05 }));
    const { count } = bandOf(searchOf([]), group);
    expect(count).toBeGreaterThanOrEqual(1700);
    expect(count).toBeLessThanOrEqual(1900);
  });

  it("bandOf(a line among others) holds that line alone: the others and every image are taken off", () => {
    const own = lineOf({ frequencyHz: 60, alpha: 10, cIm: Float64Array.of(0.05) });
    const others = [
      lineOf({ frequencyHz: 120, alpha: 2, cRe: Float64Array.of(3) }),
      lineOf({ frequencyHz: 2000, alpha: 300, cRe: Float64Array.of(2) }),
    ];
    const band = bandOf(searchOf([own, ...others]), [own]);
    const tail = Math.exp((-10 * band.size) / RATE_HZ);
    const turn = (own.omega * band.size) / RATE_HZ;
    const [uRe, uIm] = [1 - tail * Math.cos(turn), -tail * Math.sin(turn)];
    const [cRe, cIm] = [0.1 * uRe - 0.05 * uIm, 0.1 * uIm + 0.05 * uRe];
    for (let i = 0; i < band.count; i++) {
      const angle = (own.omega - band.omega[i]) / RATE_HZ;
      const radius = Math.exp(-10 / RATE_HZ);
      const [a, b] = [1 - radius * Math.cos(angle), -radius * Math.sin(angle)];
      const power = a * a + b * b;
      // Of lines up to thirty times as strong, rounded: 1e-9 of the top (fs |c|/alpha = 160).
      expect(Math.abs(band.channels[0].re[i] - (cRe * a + cIm * b) / power)).toBeLessThan(1e-6);
      expect(Math.abs(band.channels[0].im[i] - (cIm * a - cRe * b) / power)).toBeLessThan(1e-6);
    }
  });
});
