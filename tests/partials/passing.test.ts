import { describe, expect, it } from "vitest";
import { closingError, passingOpener, whileOpen, withoutOpenings } from "../../src/partials/passing.ts";
import type { StableLine } from "../../src/partials/stabilise.ts";
import { lineOf } from "./lines.ts";
import { knownNoise, RING_RATE_HZ, ringDownOf } from "./rings.ts";

const stable = (frequencyHz: number, alpha: number, rho: number): StableLine => {
  const line = lineOf({ frequencyHz, alpha, rho });
  return { line, delayS: 0, early: { line, delayS: 0 }, sdOmega: 1, sdAlpha: 1, settled: true, seenIn: [] };
};

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

/** The rate of A exp(-rate t) that fits a decay best which loses up to a tenth of its amplitude as it closes: by search, not by slope. */
function fittedRate(alpha: number, openS: number): number {
  const times = Array.from({ length: 400 }, (_, i) => ((i + 0.5) * openS) / 400);
  const heard = times.map((t) => Math.exp(-alpha * t) * (1 - 0.1 * Math.exp(-1.5 * alpha * (openS - t))));
  const misfit = (rate: number) => {
    const model = times.map((t) => Math.exp(-rate * t));
    const gain = model.reduce((s, m, i) => s + m * heard[i], 0) / model.reduce((s, m) => s + m * m, 0);
    return model.reduce((s, m, i) => s + (heard[i] - gain * m) ** 2, 0);
  };
  let [low, high] = [0.5 * alpha, 2 * alpha];
  for (let i = 0; i < 100; i++) {
    const [a, b] = [low + (high - low) / 3, high - (high - low) / 3];
    if (misfit(a) < misfit(b)) high = b;
    else low = a;
  }
  return low;
}

describe("closingError", () => {
  it("closingError is 0 where a line does not decay, is never open, or never closes", () => {
    for (const alpha of [Number.NaN, -1, 0]) expect(closingError(alpha, 1)).toBe(0);
    for (const openS of [Number.NaN, -1, 0, Number.POSITIVE_INFINITY]) expect(closingError(5, openS)).toBe(0);
  });

  it.each([
    [5, 0.07],
    [5, 0.2],
    [8, 0.5],
    [1, 3],
  ])("closingError(%d /s, open for %d s) is what a fit of an exponential errs by", (alpha, openS) => {
    // The slope is that of small losses; a loss of a tenth changes it by a tenth of itself or so.
    const error = fittedRate(alpha, openS) - alpha;
    expect(error).toBeGreaterThan(0);
    expect(Math.abs(closingError(alpha, openS) - error)).toBeLessThan(0.15 * error);
  });
});

describe("whileOpen", () => {
  // Opens at the sample 1000; at 8 kHz the first line is open for a tenth of a second, the second for 0.05 s.
  const closesAt = (frequencyHz: number) =>
    frequencyHz < 600 ? 1800 : frequencyHz < 800 ? 1400 : Number.POSITIVE_INFINITY;

  it("whileOpen drops what is not open for the shortest transform, also where it begins late", () => {
    const [first, second, open] = [stable(500, 6, 1e4), stable(700, 6, 1e4), stable(900, 6, 1e4)];
    const frequencies = (lines: StableLine[]) =>
      lines.map(({ line }) => Math.round(line.omega / (2 * Math.PI)));
    expect(frequencies(whileOpen([first, second, open], { closesAt }, 1000, 8000, 0.06))).toEqual([500, 900]);
    expect(
      frequencies(whileOpen([{ ...first, delayS: 0.05 }, open], { closesAt }, 1000, 8000, 0.06)),
    ).toEqual([900]);
  });

  it("whileOpen adds half of what the closing errs by to the standard deviation of the decay rate, in squares", () => {
    const [first, open] = whileOpen(
      [stable(500, 6, 1e4), stable(900, 6, 1e4)],
      { closesAt },
      1000,
      8000,
      0.06,
    );
    expect(first.sdAlpha).toBeCloseTo(Math.hypot(1, closingError(6, 0.1) / 2), 12);
    expect(open.sdAlpha).toBe(1);
  });
});
