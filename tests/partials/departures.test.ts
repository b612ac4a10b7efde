import { describe, expect, it } from "vitest";
import {
  departsFrom,
  isPieceOf,
  smearedShare,
  withoutDepartures,
  withoutSmear,
} from "../../src/partials/departures.ts";
import { lineOf } from "./lines.ts";

describe("smearedShare", () => {
  const slow = lineOf({ frequencyHz: 800, alpha: 2 });

  it("smearedShare(nothing, or lines alone) is 0", () => {
    expect(smearedShare([], 3)).toBe(0);
    expect(smearedShare([[slow]], 3)).toBe(0);
  });

  it("smearedShare counts neighbourhoods with lines a linewidth apart that decay at other rates, not doublets", () => {
    const fast = lineOf({ frequencyHz: 800.5, alpha: 6 });
    const twin = lineOf({ frequencyHz: 800.5, alpha: 2.1 });
    expect(smearedShare([[slow, fast]], 3)).toBe(1);
    expect(smearedShare([[slow, twin]], 3)).toBe(0);
    expect(
      smearedShare(
        [
          [slow, fast],
          [slow, twin],
        ],
        3,
      ),
    ).toBe(0.5);
  });

  it("smearedShare allows for the errors of the rates: a weak member of a doublet is no smear", () => {
    // 5 less three errors of 0.8 is 2.6, under 1.6 times 2.03; without errors 5 is over 3.2.
    const weak = lineOf({ frequencyHz: 800.5, alpha: 5, sdAlpha: 0.8, rho: 100 });
    expect(smearedShare([[slow, weak]], 3)).toBe(0);
    expect(smearedShare([[slow, weak]], 0)).toBe(1);
  });
});

describe("smearedShare, at its limits", () => {
  const slow = lineOf({ frequencyHz: 800, alpha: 2 });

  it("smearedShare leaves out neighbourhoods of which no line has rho 300, and members with rho 50 or less", () => {
    const weak = (frequencyHz: number, alpha: number) => lineOf({ frequencyHz, alpha, rho: 250 });
    expect(smearedShare([[weak(800, 2), weak(800.5, 6)]], 3)).toBe(0);
    expect(smearedShare([[slow, lineOf({ frequencyHz: 800.5, alpha: 6, rho: 45 })]], 3)).toBe(0);
    expect(smearedShare([[slow, lineOf({ frequencyHz: 800.5, alpha: 6, rho: 55 })]], 3)).toBe(1);
  });

  it("smearedShare(lines further than a linewidth and a half of the faster, or twelve times as fast) is 0", () => {
    // 3 x 6 rad/s is 2.86 Hz.
    expect(smearedShare([[slow, lineOf({ frequencyHz: 802.8, alpha: 6 })]], 3)).toBe(1);
    expect(smearedShare([[slow, lineOf({ frequencyHz: 802.9, alpha: 6 })]], 3)).toBe(0);
    expect(smearedShare([[slow, lineOf({ frequencyHz: 801, alpha: 23 })]], 3)).toBe(1);
    expect(smearedShare([[slow, lineOf({ frequencyHz: 801, alpha: 25 })]], 3)).toBe(0);
  });

  it("smearedShare allows for the errors of the slower line too", () => {
    // 1.6 (2 + 3 x 0.7) is 6.6.
    const doubtful = { ...slow, sdAlpha: 0.7 };
    expect(smearedShare([[doubtful, lineOf({ frequencyHz: 800.5, alpha: 6 })]], 3)).toBe(0);
    expect(smearedShare([[doubtful, lineOf({ frequencyHz: 800.5, alpha: 7 })]], 3)).toBe(1);
  });
});

describe("withoutDepartures", () => {
  const rhoOf = (l: { rho: number }) => l.rho;
  const same = <T>(l: T) => l;

  it("withoutDepartures keeps the stronger of two within half a linewidth, and both a linewidth and a half apart", () => {
    const strong = lineOf({ frequencyHz: 800, alpha: 2, rho: 1e5 });
    // Half a linewidth is alpha in rad/s, 0.318 Hz.
    const inside = lineOf({ frequencyHz: 800.3, alpha: 2, rho: 1e4 });
    const outside = lineOf({ frequencyHz: 801, alpha: 2, rho: 1e4 });
    expect(withoutDepartures([inside, strong, outside], same, rhoOf)).toEqual([strong, outside]);
  });

  it("departsFrom: within 0.6 % at another rate is a departure, beyond it is not", () => {
    const strong = lineOf({ frequencyHz: 1000, alpha: 1 });
    expect(departsFrom(strong, lineOf({ frequencyHz: 1005.9, alpha: 3 }))).toBe(true);
    expect(departsFrom(strong, lineOf({ frequencyHz: 1006.1, alpha: 3 }))).toBe(false);
    expect(departsFrom(strong, lineOf({ frequencyHz: 1003, alpha: 1.2 }))).toBe(false);
  });

  it("isPieceOf reaches a linewidth and a half of the faster, or 0.6 % of the frequency", () => {
    const line = lineOf({ frequencyHz: 1000, alpha: 1 });
    expect(isPieceOf(line, lineOf({ frequencyHz: 1005.9, alpha: 1 }))).toBe(true);
    expect(isPieceOf(line, lineOf({ frequencyHz: 1007, alpha: 1 }))).toBe(false);
    // 3 x 20 /s is 9.5 Hz.
    expect(isPieceOf(line, lineOf({ frequencyHz: 1009, alpha: 20 }))).toBe(true);
  });
});

describe("withoutSmear", () => {
  const same = <T>(l: T) => l;

  it("withoutSmear keeps a pair that decays alike however close, and drops the weaker of another rate", () => {
    const strong = lineOf({ frequencyHz: 800, alpha: 2, rho: 1e5 });
    const twin = lineOf({ frequencyHz: 800.2, alpha: 2.1, rho: 1e4 });
    const smear = lineOf({ frequencyHz: 801, alpha: 6, rho: 1e4 });
    expect(withoutSmear([strong, twin, smear], same)).toEqual([strong, twin]);
  });

  it("withoutSmear drops a weaker line though it is the slower of the two", () => {
    const strong = lineOf({ frequencyHz: 800, alpha: 6, rho: 1e5 });
    const slower = lineOf({ frequencyHz: 801, alpha: 2, rho: 1e4 });
    expect(withoutSmear([slower, strong], same)).toEqual([strong]);
  });
});
