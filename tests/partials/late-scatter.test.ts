import { describe, expect, it } from "vitest";
import { settleLines } from "../../src/partials/find-lines.ts";
import { fitNeighbourhood } from "../../src/partials/fit-lines.ts";
import { withLateScatter } from "../../src/partials/late-scatter.ts";
import { updateResidual } from "../../src/partials/residual.ts";
import type { RingDown, SearchOpener } from "../../src/partials/ring-down.ts";
import type { Search } from "../../src/partials/search.ts";
import { movedLine, type StableLine } from "../../src/partials/stabilise.ts";
import { lineOf } from "./lines.ts";
import { openerOf, RING_RATE_HZ, type RingLine, ringDownOf } from "./rings.ts";

const SLOW: RingLine = { frequencyHz: 900, alpha: 2, amplitude: 0.1 };
/** Gone before the first of the later fits begins. */
const FAST: RingLine = { frequencyHz: 2100, alpha: 60, amplitude: 0.1 };

/** The lines as fitted from the beginning, before and after the later fits have had their say. */
function scattered(ring: RingDown): { before: StableLine[]; after: StableLine[] } {
  const open = openerOf(ring);
  const search = open(0, 0)!;
  search.lines = [SLOW, FAST].map(({ frequencyHz, alpha }) => lineOf({ frequencyHz, alpha }));
  updateResidual(search, false);
  settleLines(search);
  const before = search.lines
    .map((line): StableLine => {
      const { sdOmega, sdAlpha } = line;
      return {
        line,
        delayS: 0,
        early: { line, delayS: 0 },
        sdOmega,
        sdAlpha,
        settled: true,
        seenIn: [],
      };
    })
    .sort((a, b) => a.line.omega - b.line.omega);
  return { before, after: before.map(withLateScatter({ search, startSample: 0 }, open)) };
}

describe("withLateScatter", () => {
  it("withLateScatter(free decays) adds no more than chance does to the difference of two fits", () => {
    let added = 0;
    const seeds = 40;
    for (let seed = 0; seed < seeds; seed++) {
      const { before, after } = scattered(ringDownOf([SLOW, FAST], seed));
      added += Math.sqrt(after[0].sdOmega ** 2 - before[0].sdOmega ** 2) / before[0].sdOmega;
    }
    // Two fits, of which one has all data of the other, differ by the root of the difference of their variances: from 0.2 and
    // 0.6 s on a line of 2 /s has exp(0.8) and exp(2.4) times its variance, so 1.11 and 3.16 standard deviations. What goes
    // beyond one of its own has the mean 0.34 of it (normal law): 1.44 for both, and 0.32 for the error of a mean of forty.
    // With nothing taken off it would be 0.8 of 3.16 and more.
    expect(added / seeds).toBeLessThan(1.44 + 2 * 0.32);
  });

  it("withLateScatter(a line whose frequency still moves) holds, with its errors, where it comes to rest", () => {
    // 0.02 Hz high at first, settling with a time constant of 0.3 s: less than a thirtieth of a linewidth, fifty errors of the fit.
    const ring = ringDownOf([FAST], 3, 3, (x) => {
      for (let n = 0; n < x.length; n++) {
        const t = n / RING_RATE_HZ;
        const phase = 2 * Math.PI * (900 * t - 0.02 * 0.3 * Math.expm1(-t / 0.3));
        x[n] += 0.1 * Math.exp(-2 * t) * Math.cos(phase);
      }
    });
    const { before, after } = scattered(ring);
    const off = Math.abs(before[0].line.omega - 2 * Math.PI * 900);
    expect(off).toBeGreaterThan(3 * before[0].sdOmega);
    expect(off).toBeLessThan(2 * after[0].sdOmega);
    expect(after[0].line).toBe(before[0].line);
  });

  it("withLateScatter(a line that has died before the later fits begin) is left as it is", () => {
    const { before, after } = scattered(ringDownOf([SLOW, FAST], 4));
    expect(after[1]).toEqual(before[1]);
  });

  it("withLateScatter(no search, or nothing left of the ring) is what it was given", () => {
    const { before } = scattered(ringDownOf([SLOW, FAST], 5));
    expect(withLateScatter({ search: null, startSample: 0 }, () => null)(before[0])).toEqual(before[0]);
  });

  it("withLateScatter(lines) adds in squares the most that fits from 0.2 and 0.6 s on are off beyond their own errors", () => {
    // Two of a linewidth and a half apart, so that the nearer of two is to be taken.
    const pair = [SLOW, { frequencyHz: 900.3, alpha: 2.5, amplitude: 0.05 }];
    for (const seed of [6, 7, 8]) {
      const ring = ringDownOf(pair, seed);
      const open = openerOf(ring);
      const search = open(0, 0)!;
      search.lines = pair.map(({ frequencyHz, alpha }) => lineOf({ frequencyHz, alpha }));
      settleLines(search);
      const later = [0.2, 0.6].map((delayS) => {
        const late = open(delayS * RING_RATE_HZ, 0)!;
        // By the noise that all lines left over.
        late.noise = late.ladder.map(() => search.noise[0]);
        late.lines = search.lines.map((line) => movedLine(line, delayS));
        fitNeighbourhood(late, late.lines, false);
        return late.lines;
      });
      const own = [0.01, 0.02];
      search.lines.forEach((line, i) => {
        const beyond = (of: "omega" | "alpha", sd: "sdOmega" | "sdAlpha") =>
          Math.max(
            ...later.map((lines) => {
              const between = lines[i][sd] ** 2 - line[sd] ** 2;
              return Math.sqrt(Math.max(0, (lines[i][of] - line[of]) ** 2 - between));
            }),
          );
        const stable: StableLine = {
          line,
          delayS: 0,
          early: { line, delayS: 0 },
          sdOmega: own[0],
          sdAlpha: own[1],
          settled: true,
          seenIn: [],
        };
        const { sdOmega, sdAlpha, ...rest } = withLateScatter({ search, startSample: 0 }, open)(stable);
        expect(sdOmega).toBeCloseTo(Math.hypot(own[0], beyond("omega", "sdOmega")), 12);
        expect(sdAlpha).toBeCloseTo(Math.hypot(own[1], beyond("alpha", "sdAlpha")), 12);
        expect(rest).toEqual({ ...stable, sdOmega: undefined, sdAlpha: undefined } as unknown);
      });
    }
  });

  it("withLateScatter fits again the lines that are left at a matched-filter SNR of 12, and no others beside them", () => {
    // Half of what there is is not among the lines: it is not looked for.
    const open = openerOf(ringDownOf([SLOW, { ...SLOW, frequencyHz: 903 }], 9));
    const fitted: Search[] = [];
    const watched: SearchOpener = (startSample, misfit) => {
      const search = open(startSample, misfit);
      if (search) fitted.push(search);
      return search;
    };
    const search = open(0, 0)!;
    const left = (frequencyHz: number, rho: number, delayS: number) =>
      lineOf({ frequencyHz, alpha: 2, rho: rho * Math.exp(2 * 2 * delayS) });
    search.lines = [
      lineOf({ frequencyHz: 900, alpha: 2 }),
      left(1500, 11.9, 0.2),
      left(2000, 12.1, 0.2),
      left(2500, 11.9, 0.6),
      left(3000, 12.1, 0.6),
    ];
    withLateScatter({ search, startSample: 0 }, watched);
    const hertz = fitted.map(({ lines }) =>
      lines.map(({ omega }) => Math.round(omega / (2 * Math.PI * 500)) * 500),
    );
    expect(hertz).toEqual([
      [1000, 2000, 2500, 3000],
      [1000, 3000],
    ]);
  });
});
