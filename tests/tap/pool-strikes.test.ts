import { describe, expect, it } from "vitest";
import { otherBellCents, outlyingStrike, poolStrikes } from "../../src/tap/pool-strikes.ts";
import { modeAt } from "./bells.ts";

/**
 * Thirteen trials of the BCG vaccine, log relative risk and its variance (Colditz et al., JAMA 271 (1994) 698-702), as
 * used to illustrate random effects since; from memory. By DerSimonian & Laird (Controlled Clinical Trials 7 (1986)
 * 177-188): variance between 0.3088, mean -0.7141, standard error 0.1787.
 */
const BCG: [value: number, variance: number][] = [
  [-0.8893, 0.3256],
  [-1.5854, 0.1946],
  [-1.3481, 0.4154],
  [-1.4416, 0.02],
  [-0.2175, 0.0512],
  [-0.7861, 0.0069],
  [-1.6209, 0.223],
  [0.012, 0.004],
  [-0.4694, 0.0564],
  [-1.3713, 0.073],
  [-0.3394, 0.0124],
  [0.4459, 0.5325],
  [-0.0173, 0.0714],
];

describe("poolStrikes", () => {
  it("poolStrikes gives the modes of one strike back, without a spread", () => {
    const mode = modeAt(500);
    expect(poolStrikes([[mode]])).toEqual([{ mode, spreadHz: null, spreadPerS: null }]);
  });

  it("poolStrikes gives nothing of strikes without modes", () => {
    expect(poolStrikes([[], []])).toEqual([]);
  });

  it("poolStrikes pools the published example of DerSimonian and Laird to its published values", () => {
    // Shifted to 10 kHz, where all thirteen lie within a tenth of a per cent of one another.
    const strikes = BCG.map(([value, variance]) => [
      modeAt(10_000 + value, { frequencySdHz: Math.sqrt(variance) }),
    ]);
    const [{ mode, spreadHz }] = poolStrikes(strikes);
    // The data are given to four decimals and the results too.
    expect(mode.frequencyHz - 10_000).toBeCloseTo(-0.7141, 3);
    expect(mode.frequencySdHz).toBeCloseTo(0.1787, 3);
    const mean = BCG.reduce((s, [v]) => s + v, 0) / BCG.length;
    const spread = Math.sqrt(BCG.reduce((s, [v]) => s + (v - mean) ** 2, 0) / (BCG.length - 1));
    expect(spreadHz).toBeCloseTo(spread, 9);
  });

  it("poolStrikes weighs by inverse variance where strikes agree", () => {
    // Q = 0.02 is less than its one degree of freedom: no variance between strikes.
    const [{ mode }] = poolStrikes([
      [modeAt(500, { frequencySdHz: 0.1 })],
      [modeAt(500.0316, { frequencySdHz: 0.2 })],
    ]);
    const weights = [100, 25];
    expect(mode.frequencyHz).toBeCloseTo((500 * weights[0] + 500.0316 * weights[1]) / 125, 9);
    expect(mode.frequencySdHz).toBeCloseTo(Math.sqrt(1 / 125), 9);
  });

  it("poolStrikes claims no more than strikes agree upon", () => {
    // Two values 0.2 apart with errors of 0.001: the mean is known to 0.2 / 2, the standard error of two.
    const [{ mode, spreadHz }] = poolStrikes([
      [modeAt(500, { frequencySdHz: 1e-3 })],
      [modeAt(500.2, { frequencySdHz: 1e-3 })],
    ]);
    expect(mode.frequencyHz).toBeCloseTo(500.1, 9);
    expect(mode.frequencySdHz).toBeCloseTo(0.1, 6);
    expect(spreadHz).toBeCloseTo(0.2 / Math.SQRT2, 9);
  });

  it("poolStrikes pools decay rates likewise", () => {
    const [{ mode, spreadPerS }] = poolStrikes([
      [modeAt(500, { decayRatePerS: 2, decayRateSdPerS: 1e-4 })],
      [modeAt(500, { decayRatePerS: 2.2, decayRateSdPerS: 1e-4 })],
    ]);
    expect(mode.decayRatePerS).toBeCloseTo(2.1, 9);
    expect(mode.decayRateSdPerS).toBeCloseTo(0.1, 6);
    expect(spreadPerS).toBeCloseTo(0.2 / Math.SQRT2, 9);
  });

  it("poolStrikes leaves out a mode that fewer than half of the strikes have", () => {
    const others = [modeAt(500)];
    expect(poolStrikes([[modeAt(500), modeAt(700)], others, others]).map((p) => p.mode.frequencyHz)).toEqual([
      500,
    ]);
  });

  it("poolStrikes keeps a mode that one of two strikes has, with no spread", () => {
    const pooled = poolStrikes([[modeAt(500), modeAt(700)], [modeAt(500)]]);
    expect(pooled[1]).toMatchObject({ mode: { frequencyHz: 700 }, spreadHz: null, spreadPerS: null });
  });

  it("poolStrikes pairs the members of a doublet each with its own", () => {
    const pooled = poolStrikes([
      [modeAt(500), modeAt(500.4)],
      [modeAt(500.02), modeAt(500.42)],
    ]);
    expect(pooled.map((p) => p.mode.frequencyHz)).toEqual([
      expect.closeTo(500.01, 9),
      expect.closeTo(500.41, 9),
    ]);
  });

  it("poolStrikes never takes one mode of a strike for two of another: the nearest gets it", () => {
    // A pair that is narrower than what counts as the same, and a strike in which only one of the two was found.
    const pooled = poolStrikes([[modeAt(500), modeAt(500.2)], [modeAt(500.21)]]);
    expect(pooled.map(({ spreadHz }) => spreadHz === null)).toEqual([true, false]);
    expect(pooled[0].mode.frequencyHz).toBe(500);
  });

  it("poolStrikes keeps amplitude and phase of the best strike and says how many strikes had the mode", () => {
    const best = modeAt(500, { amplitude: Float64Array.of(0.3), phaseRad: Float64Array.of(1) });
    const [{ mode }] = poolStrikes([[best], [modeAt(500)], [modeAt(500)]]);
    expect(mode.amplitude).toBe(best.amplitude);
    expect(mode.phaseRad).toBe(best.phaseRad);
    expect(mode.seenIn).toEqual(["later stretch", "3 strikes"]);
    expect(mode.rho).toBe(3e6);
  });
});

describe("outlyingStrike", () => {
  const strike = (factor: number) => [500, 1000, 1200, 1500].map((f) => modeAt(f * factor));

  it("outlyingStrike names none of none, of one and of two that agree", () => {
    expect(outlyingStrike([])).toBe(-1);
    expect(outlyingStrike([strike(1)])).toBe(-1);
    expect(outlyingStrike([strike(1), strike(1.0008)])).toBe(-1);
  });

  it("outlyingStrike names none of strikes without modes", () => {
    expect(outlyingStrike([[], [], []])).toBe(-1);
  });

  it("outlyingStrike names none of three equal strikes", () => {
    expect(outlyingStrike([strike(1), strike(1), strike(1)])).toBe(-1);
  });

  it("outlyingStrike names the one of three whose frequencies lie 0.08 % off", () => {
    expect(outlyingStrike([strike(1), strike(1.0008), strike(1)])).toBe(1);
    expect(outlyingStrike([strike(1), strike(1), strike(1.0008)])).toBe(2);
  });

  it("outlyingStrike names the best strike too when it is the odd one", () => {
    expect(outlyingStrike([strike(1.0008), strike(1), strike(1)])).toBe(0);
  });

  it("outlyingStrike names a strike that shares no partial with the others: another bell", () => {
    expect(outlyingStrike([strike(1), strike(1.05), strike(1)])).toBe(1);
    expect(outlyingStrike([strike(1.05), strike(1), strike(1)])).toBe(0);
  });

  it("outlyingStrike names the second of two strikes of different bells", () => {
    expect(outlyingStrike([strike(1), strike(1.05)])).toBe(1);
  });

  it("outlyingStrike keeps the larger group of strikes of two bells, of equal ones that of the best strike", () => {
    expect(outlyingStrike([strike(1.05), strike(1), strike(1.05), strike(1), strike(1)])).toBe(0);
    expect(outlyingStrike([strike(1.05), strike(1), strike(1), strike(1.05)])).toBe(1);
  });

  it("outlyingStrike names none of three or more where no two agree", () => {
    expect(outlyingStrike([strike(1), strike(1.05), strike(1.1)])).toBe(-1);
  });

  it("outlyingStrike is not moved by one partial that strays", () => {
    const stray = strike(1);
    stray[2] = modeAt(1200.9);
    expect(outlyingStrike([strike(1), stray, strike(1)])).toBe(-1);
  });
});

describe("otherBellCents", () => {
  const ratios = [0.5, 1, 1.19, 1.5, 2, 2.6, 3, 4.1, 5.3, 6.6];
  const bell = (primeHz: number) => ratios.map((ratio) => modeAt(primeHz * ratio));

  it("otherBellCents gives the common shift of two bells of one kind, up or down", () => {
    // Each ratio a little off, as two castings differ.
    const other = ratios.map((ratio, i) => modeAt(400 * ratio * 2 ** ((51 + 3 * (-1) ** i) / 1200)));
    expect(Math.abs(otherBellCents(other, bell(400))! - 51)).toBeLessThan(4);
    expect(Math.abs(otherBellCents(bell(400), other)! + 51)).toBeLessThan(4);
  });

  it("otherBellCents is null for a sound of another kind, for too few modes, and for the bell itself", () => {
    const voice = Array.from({ length: 10 }, (_, i) => modeAt(173 * (i + 1)));
    expect(otherBellCents(voice, bell(400))).toBeNull();
    expect(otherBellCents(bell(420).slice(0, 3), bell(400))).toBeNull();
    expect(otherBellCents(bell(400), bell(400))).toBeNull();
  });
});
