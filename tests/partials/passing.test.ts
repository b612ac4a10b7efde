import { describe, expect, it } from "vitest";
import { passingOpener, withoutOpenings } from "../../src/partials/passing.ts";
import type { StableLine } from "../../src/partials/stabilise.ts";
import { lineOf } from "./lines.ts";
import { knownNoise, RING_RATE_HZ, ringDownOf } from "./rings.ts";

describe("passingOpener", () => {
  const ring = ringDownOf([{ frequencyHz: 500, alpha: 2, amplitude: 0.1 }], 1);
  const passed = {
    aboveQuietDb: 20,
    sdDb: 1,
    lines: 5,
    noise: [knownNoise()],
    opensSample: 800,
    closesAt: (frequencyHz: number) => (Math.round(frequencyHz) === 500 ? 16_800 : 0),
  };
  const open = passingOpener(ring, passed);

  it("passingOpener opens searches in the noise that comes through, with what is left of lines, up to where bands close", () => {
    const search = open(800, 0.05)!;
    expect(search.misfit).toBe(0.05);
    expect(search.noise[0]).toEqual(passed.noise);
    expect(search.passing!.noise).toEqual(passed.noise);
    // 16 000 samples after the start, and a tenth of a second before it.
    expect(search.passing!.openS(2 * Math.PI * 500)).toBe(16_000 / RING_RATE_HZ);
    expect(search.passing!.openS(2 * Math.PI * 600)).toBe(-0.1);
    // 50 dB under the line.
    expect(search.departure!(1)).toBe(1e-5);
  });

  it("passingOpener opens none where too little of the ring is left", () => {
    expect(open(ring.endSample - 100, 0)).toBeNull();
  });
});

describe("withoutOpenings", () => {
  const stable = (frequencyHz: number, alpha: number, rho: number): StableLine => {
    const line = lineOf({ frequencyHz, alpha, rho });
    return { line, delayS: 0, early: { line, delayS: 0 }, sdOmega: 1, sdAlpha: 1, settled: true, seenIn: [] };
  };
  const strong = stable(1000, 2, 1e6);

  it("withoutOpenings takes out a weak fast line at the frequency of a strong slow one, and nothing else", () => {
    const opening = stable(1005, 60, 1e3);
    const partner = stable(1001, 2.5, 1e3);
    const farther = stable(1040, 60, 1e3);
    const louder = stable(1000, 60, 1e7);
    expect(withoutOpenings([strong, opening, partner, farther])).toEqual([strong, partner, farther]);
    expect(withoutOpenings([strong, louder])).toEqual([strong, louder]);
  });

  it("withoutOpenings asks for three times the rate, within one and a half linewidths, to either side", () => {
    const keeps = (line: StableLine) => withoutOpenings([strong, line]).includes(line);
    // Three times 2 /s is no more than three times; a linewidth is alpha / pi, so one and a half of 20 /s are 9.55 Hz.
    expect(keeps(stable(1000, 6, 1e3))).toBe(true);
    expect(keeps(stable(1000, 6.1, 1e3))).toBe(false);
    for (const side of [-1, 1]) {
      expect(keeps(stable(1000 + side * 9.6, 20, 1e3))).toBe(true);
      expect(keeps(stable(1000 + side * 9.5, 20, 1e3))).toBe(false);
    }
    expect(keeps(stable(1000, 20, 1e6))).toBe(true);
  });
});
