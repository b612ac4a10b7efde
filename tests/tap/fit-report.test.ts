import { describe, expect, it } from "vitest";
import { departureNote, glideOf, noisePassedOf } from "../../src/tap/fit-report.ts";
import { decayRateOfT60, type TrueMode } from "../support/synthetic/index.ts";
import { fitOf, modesOf, ringOfBell, struck } from "./bells.ts";

/** Five modes, no two nearer than 4 %, that outlast the first fifth of a second. */
function aloneModes(): TrueMode[] {
  return [410, 823, 1017, 1490, 2210].map((frequencyHz, k) => ({
    frequencyHz,
    decayRatePerS: decayRateOfT60(3 - 0.3 * k),
    amplitude: Float64Array.of(1 - 0.1 * k),
    phaseRad: Float64Array.of(-1.5 + 0.2 * k),
  }));
}

const SHORT = { durationS: 0.8, quietS: 0.1 };

function glideOfBell(modes: TrueMode[], seed: number, glide?: { amount: number; timeConstantS: number }) {
  const bell = struck(modes, seed, { ...SHORT, artefacts: glide ? { glide } : {} });
  return glideOf(ringOfBell(bell), fitOf(modesOf(bell.truth.modes)));
}

describe("glideOf", () => {
  it("glideOf gives null without modes", () => {
    const bell = struck(aloneModes(), 1, SHORT);
    expect(glideOf(ringOfBell(bell), fitOf([]))).toBeNull();
  });

  it("glideOf gives null of two modes: no spread between them tells what is significant", () => {
    expect(glideOfBell(aloneModes().slice(0, 2), 1, { amount: 0.003, timeConstantS: 0.3 })).toBeNull();
  });

  it("glideOf gives null where less than a tenth of a second is left", () => {
    const bell = struck(aloneModes(), 1, { durationS: 0.2, quietS: 0.1, artefacts: {} });
    expect(glideOf(ringOfBell(bell), fitOf(modesOf(bell.truth.modes)))).toBeNull();
  });

  it("glideOf gives null where every mode has a neighbour that beats with it", () => {
    const pairs = aloneModes().flatMap((m) => [m, { ...m, frequencyHz: m.frequencyHz * 1.01 }]);
    expect(glideOfBell(pairs, 1, { amount: 0.003, timeConstantS: 0.3 })).toBeNull();
  });

  it("glideOf sees a glide of 0.3 % with its sign, within what the frequency passes through", () => {
    // From 0.02 s to 0.2 s the excess falls from 0.3 exp(-0.02/0.3) to 0.3 exp(-0.2/0.3) per cent: any mean lies between.
    const glide = glideOfBell(aloneModes(), 1, { amount: 0.003, timeConstantS: 0.3 });
    expect(glide?.value).toBeLessThan(-0.3 * Math.exp(-0.2 / 0.3));
    expect(glide?.value).toBeGreaterThan(-0.3 * Math.exp(-0.02 / 0.3));
    const flat = glideOfBell(aloneModes(), 1, { amount: -0.003, timeConstantS: 0.3 });
    expect(flat?.value).toBeGreaterThan(0.3 * Math.exp(-0.2 / 0.3));
  });

  it("glideOf sees none on steady bells, but for the one in twenty of a 95 % interval", () => {
    const bells = 40;
    let seen = 0;
    for (let seed = 1; seed <= bells; seed++) {
      // Neighbours leak into one another's blocks alike in every bell, so their phases must differ too.
      const turn = (k: number) => Math.sin(seed * 12.9898 + k * 78.233) * 43758.5453;
      const modes = aloneModes().map((m, k) => ({ ...m, phaseRad: Float64Array.of(turn(k) % Math.PI) }));
      if (glideOfBell(modes, seed)) seen++;
    }
    // Binomial, 40 times 0.05: more than 6 come by chance less than once in a hundred.
    expect(seen).toBeLessThanOrEqual(6);
  });
});

const SHARP = { amount: 0.003, amountSd: 1e-5, timeConstantS: 0.4, timeConstantSdS: 0.01 };

describe("a glide that was taken off", () => {
  it("glideOf gives a fitted glide as the change from the blow on, with its interval", () => {
    const bell = struck(aloneModes(), 1, SHORT);
    const glide = glideOf(ringOfBell(bell), fitOf([], { departs: true, glide: SHARP }));
    expect(glide?.value).toBeCloseTo(-0.3, 12);
    expect(glide?.ci95).toBeCloseTo(0.00196, 12);
  });

  it("departureNote says how far and how fast the pitch glides, and that the values are the settled ones", () => {
    expect(departureNote(fitOf([], { departs: true, glide: SHARP }))).toBe(
      "All frequencies begin 0.3000 \u00b1 0.0020 % sharp and settle with a time constant of 0.400 \u00b1 0.020 s. " +
        "The partials are measured with this glide taken off; listed are the frequencies that they settle to, with its error in their intervals.",
    );
    const flat = departureNote(fitOf([], { departs: true, glide: { ...SHARP, amount: -0.003 } }));
    expect(flat).toMatch(/^All frequencies begin 0\.3000 \u00b1 0\.0020 % flat/);
  });
});

describe("departureNote", () => {
  it("departureNote says nothing of a ring of free decays", () => {
    expect(departureNote(fitOf([]))).toBeNull();
  });

  it("departureNote tells an early departure from a ring that is no free decay at all", () => {
    const early = departureNote(fitOf([], { departs: true }));
    const whole = departureNote(fitOf([], { departs: true, freeDecay: false }));
    expect(early).toMatch(/^The early part of the ring departs from free decays/);
    expect(whole).toMatch(/^The ring is not a sum of free decays/);
  });
});

describe("noisePassedOf", () => {
  it("noisePassedOf gives null where no noise is let through", () => {
    expect(noisePassedOf(fitOf([]))).toBeNull();
  });

  it("noisePassedOf has the interval of a mean of so few lines: Student's t", () => {
    const of = (lines: number) =>
      noisePassedOf({ ...fitOf([]), passedNoise: { aboveQuietDb: 17, sdDb: 0.5, lines } })!;
    // t for 2 and for 7 degrees of freedom; of many lines no less than the normal 1.96.
    expect(of(3)).toEqual({ value: 17, ci95: 4.303 * 0.5 });
    expect(of(8).ci95).toBeCloseTo(2.365 * 0.5, 12);
    expect(of(40).ci95).toBeGreaterThan(1.96 * 0.5);
  });
});
