import { describe, expect, it } from "vitest";
import { type BellPlan, type BellTruth, renderBell } from "./bell.ts";
import { BELL_KINDS, type BellKind, makeBell } from "./kinds.ts";
import { noiseTotalVariance, noiseVarianceAt } from "./noise.ts";
import { makeRandom } from "./random.ts";

const LSB = 1 / 32768;
/** Rounding to 16 bits moves a sample by half a step at most; the float32 copy of it is exact. */
const HALF_STEP = 0.5001 * LSB;

const silentPlan = (over: Partial<BellPlan>): BellPlan => ({
  sampleRateHz: 8000,
  durationS: 1,
  quietS: 0.1,
  modes: [
    { frequencyHz: 440, decayRatePerS: 5, amplitude: Float64Array.of(0.3), phaseRad: Float64Array.of(-1.4) },
    {
      frequencyHz: 1234.5,
      decayRatePerS: 90,
      amplitude: Float64Array.of(0.4),
      phaseRad: Float64Array.of(1.7),
    },
  ],
  noise: [{ sd: 0, zero: 0, pole: 0 }],
  tones: [],
  artefacts: {},
  peak: null,
  ...over,
});

/** The sum of free decays that the truth names, written out. */
function freeDecay(truth: BellTruth, sample: number): number {
  const t = (sample - truth.onsetSample) / truth.sampleRateHz;
  if (t < 0) return 0;
  return truth.modes.reduce(
    (sum, m) =>
      sum +
      m.amplitude[0] *
        Math.exp(-m.decayRatePerS * t) *
        Math.cos(2 * Math.PI * m.frequencyHz * t + m.phaseRad[0]),
    0,
  );
}

describe("renderBell", () => {
  it("renderBell(plan without noise) is the sum of damped cosines it names, to half a 16-bit step", () => {
    const { channels, truth } = renderBell(silentPlan({}), 1);
    expect(truth.onsetSample).toBe(800);
    for (let n = 0; n < truth.sampleCount; n++) {
      expect(Math.abs(channels[0][n] - freeDecay(truth, n))).toBeLessThan(HALF_STEP);
    }
  });

  it("renderBell(plan with bounces) names the amplitudes that hold after the last contact", () => {
    const contacts = [
      { delayS: 0, strength: 1 },
      { delayS: 0.006, strength: 0.5 },
      { delayS: 0.025, strength: 0.2 },
    ];
    const { channels, truth } = renderBell(silentPlan({ artefacts: { contacts } }), 1);
    expect(truth.lastContactSample).toBe(1000);
    for (let n = truth.lastContactSample; n < truth.sampleCount; n++) {
      expect(Math.abs(channels[0][n] - freeDecay(truth, n))).toBeLessThan(HALF_STEP);
    }
  });

  it("renderBell(plan with a glide) settles at the frequency the truth names", () => {
    const plan = silentPlan({ artefacts: { glide: { amount: 0.003, timeConstantS: 0.02 } } });
    plan.modes.length = 1;
    const { channels, truth } = renderBell(plan, 1);
    // Long after the glide only its accumulated phase 2 pi f amount timeConstant is left.
    const mode = truth.modes[0];
    mode.phaseRad[0] += 2 * Math.PI * 440 * 0.003 * 0.02;
    for (let n = 800 + 8 * 160; n < truth.sampleCount; n++) {
      expect(Math.abs(channels[0][n] - freeDecay(truth, n))).toBeLessThan(HALF_STEP + 1e-4 * 0.3);
    }
  });

  it("renderBell(plan with a room) has the direct to reverberant ratio of its plan", () => {
    // A mode that is gone within a few samples makes the recording the impulse response itself.
    const click = silentPlan({
      artefacts: { room: { reverberationTimeS: 0.3, directToReverberantDb: 8, delayS: 0.01 } },
    });
    click.modes = [
      { frequencyHz: 1, decayRatePerS: 1e5, amplitude: Float64Array.of(0.9), phaseRad: Float64Array.of(0) },
    ];
    const { channels } = renderBell(click, 3);
    const energy = (from: number, to: number) => channels[0].slice(from, to).reduce((e, x) => e + x * x, 0);
    const ratioDb = 10 * Math.log10(energy(0, 850) / energy(850, 8000));
    // The gain is exact; rounding adds 7,000 / 12 squared steps to some 0.13: under 0.01 dB.
    expect(ratioDb).toBeCloseTo(8, 1);
    // Nothing before the delay, and each half of the 60 dB decay holds 30 dB; of 240 samples an e-fold, sd 0.4 dB each.
    expect(energy(850, 880)).toBe(0);
    const halvesDb = 10 * Math.log10(energy(880, 2080) / energy(2080, 3280));
    expect(Math.abs(halvesDb - 30)).toBeLessThan(2);
  });

  it("renderBell(plan with gain control) leaves what is below the threshold alone", () => {
    const gainControl = { thresholdDb: -6, ratio: 4, attackS: 0.001, releaseS: 0.02 };
    const { channels, truth } = renderBell(silentPlan({ artefacts: { gainControl } }), 1);
    expect(truth.levelIsTrue).toBe(false);
    expect(Math.abs(channels[0][830])).toBeLessThan(Math.abs(freeDecay(truth, 830)));
    for (let n = 4000; n < truth.sampleCount; n++) {
      expect(Math.abs(channels[0][n] - freeDecay(truth, n))).toBeLessThan(HALF_STEP);
    }
  });
});

describe("noiseVarianceAt", () => {
  it("noiseVarianceAt(colour, f) averages over frequency to the total variance (Parseval)", () => {
    const colour = { sd: 0.3, zero: 0.7, pole: 0.95 };
    let mean = 0;
    const count = 20000;
    for (let i = 0; i < count; i++) mean += noiseVarianceAt(colour, ((i + 0.5) * 4000) / count, 8000) / count;
    expect(mean / noiseTotalVariance(colour)).toBeCloseTo(1, 6);
  });

  it("noiseVarianceAt(colour, f) is the density that the samples of a bell have before its strike", () => {
    for (const kind of ["near", "splits", "coloured"] as const) {
      const { channels, truth } = makeBell(kind, 4);
      const expected = Array.from({ length: 4000 }, (_, i) =>
        truth.noiseVariance(((i + 0.5) * truth.sampleRateHz) / 8000, 0),
      ).reduce((sum, s) => sum + s / 4000, 0);
      const tones = truth.tones.reduce((sum, tone) => sum + tone.amplitude[0] ** 2 / 2, 0);
      const count = truth.onsetSample;
      let power = 0;
      for (let n = 0; n < count; n++) power += channels[0][n] ** 2 / count;
      // White: relative sd sqrt(2/13,000) = 0.012, four of them. Coloured: some 100 independent samples, three of sqrt(2/100).
      const allowed = kind === "coloured" ? 0.42 : 0.05;
      expect(Math.abs(power / (expected + tones) - 1)).toBeLessThan(allowed);
    }
  });
});

describe("makeBell", () => {
  it("makeBell(kind, seed) gives the same samples again, and others for another seed or kind", () => {
    const bytes = (kind: BellKind, seed: number) => Buffer.from(makeBell(kind, seed).channels[0].buffer);
    const first = bytes("splits", 7);
    expect(bytes("splits", 7).equals(first)).toBe(true);
    expect(bytes("splits", 8).equals(first)).toBe(false);
    expect(bytes("quadruplets", 7).equals(first)).toBe(false);
  });

  it("makeBell(every kind) is finite, unclipped 16-bit sound of 4 to 8 s, its modes below half the sample rate", () => {
    for (const kind of BELL_KINDS) {
      const { channels, truth } = makeBell(kind, 2);
      expect(channels.length).toBe(kind === "stereo" ? 2 : 1);
      expect(truth.sampleCount / truth.sampleRateHz).toBeGreaterThan(3.99);
      expect(truth.sampleCount / truth.sampleRateHz).toBeLessThan(8.01);
      for (const x of channels[0]) {
        if (!(Math.abs(x) < 0.72 && Number.isInteger(x * 32768))) expect.fail(`${kind}: sample ${x}`);
      }
      for (const mode of truth.modes) {
        expect(mode.frequencyHz).toBeGreaterThan(50);
        expect(mode.frequencyHz).toBeLessThan(truth.sampleRateHz / 2);
      }
    }
  });
});

describe("makeRandom", () => {
  it("makeRandom(seed).normal() has the moments of the normal distribution, within four standard errors", () => {
    const random = makeRandom(5);
    const count = 200000;
    const moments = [0, 0, 0, 0];
    for (let i = 0; i < count; i++) {
      const x = random.normal();
      for (let k = 0; k < 4; k++) moments[k] += x ** (k + 1) / count;
    }
    // Variances of x, x^2, x^3, x^4: 1, 2, 15, 96.
    const expected = [0, 1, 0, 3];
    [1, 2, 15, 96].forEach((variance, k) => {
      expect(Math.abs(moments[k] - expected[k])).toBeLessThan(4 * Math.sqrt(variance / count));
    });
  });
});
