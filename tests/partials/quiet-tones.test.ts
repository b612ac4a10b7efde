import { describe, expect, it } from "vitest";
import { fitModes, type RingDown } from "../../src/partials/index.ts";
import { quietTones, withoutTones } from "../../src/partials/quiet-tones.ts";
import type { StableLine } from "../../src/partials/stabilise.ts";
import { makeRandom, renderBell, ringOf, type TrueMode, whiteNoise } from "../support/synthetic/index.ts";
import { lineOf } from "./lines.ts";

const FS = 8000;
const NOISE_SD = 1e-4;
const NOISE = [
  { centresHz: Float64Array.of(20, 4000), variance: Float64Array.of(NOISE_SD ** 2, NOISE_SD ** 2) },
];

function quietOf(
  sum: (t: number) => number,
  quiet: RingDown["quiet"] = { startSample: 0, endSample: FS / 2 },
): RingDown {
  const random = makeRandom(3);
  const x = Float32Array.from({ length: FS }, (_, n) => sum(n / FS) + NOISE_SD * random.normal());
  return {
    channels: [x],
    sampleRateHz: FS,
    onsetSample: FS / 2,
    ringStartSample: FS / 2,
    endSample: FS,
    bounced: false,
    quiet,
    noiseFloor: 1e-12,
  };
}

const stable = (frequencyHz: number, amplitude: number): StableLine => {
  const line = lineOf({
    frequencyHz,
    alpha: 2,
    cRe: Float64Array.of(amplitude / 2),
    cIm: Float64Array.of(0),
  });
  return {
    line,
    delayS: 0,
    early: { line, delayS: 0 },
    sdOmega: 0.01,
    sdAlpha: 0.01,
    settled: true,
    seenIn: [],
  };
};

describe("quietTones", () => {
  it("quietTones without a quiet, or of noise alone, finds none", () => {
    expect(
      quietTones(
        quietOf(() => 0, null),
        NOISE,
      ),
    ).toEqual([]);
    expect(
      quietTones(
        quietOf(() => 0, { startSample: 0, endSample: 100 }),
        NOISE,
      ),
    ).toEqual([]);
    expect(
      quietTones(
        quietOf(() => 0),
        NOISE,
      ),
    ).toEqual([]);
  });

  it("quietTones finds a hum with its frequency to a bin and its amplitude to a Hann window's scalloping", () => {
    const hum = quietOf((t) => 0.01 * Math.cos(2 * Math.PI * 120 * t));
    const [tone, ...others] = quietTones(hum, NOISE).sort((a, b) => b.amplitude - a.amplitude);
    // Hann's side lobes lie 31 dB down (Harris 1978).
    for (const other of others) expect(other.amplitude).toBeLessThan(0.011 * 10 ** (-31 / 20));
    expect(Math.abs(tone!.frequencyHz - 120)).toBeLessThan(FS / 3840);
    // 1.42 dB at worst (Harris 1978).
    expect(tone!.amplitude).toBeGreaterThan(0.01 * 10 ** (-1.42 / 20) * 0.99);
    expect(tone!.amplitude).toBeLessThan(0.0101);
  });
});

describe("withoutTones", () => {
  const glide = { amount: 0.003, timeConstantS: 0.4 };

  it("withoutTones takes out what a glide makes of a tone, and leaves what is louder or farther away", () => {
    const tones = [{ frequencyHz: 120, amplitude: 0.01 }];
    // omega g tau = 0.905 of the tone at most; beside it within 0.36 Hz of glide, 0.40 Hz of spectrum and two bins.
    const lines = [stable(120.3, 0.008), stable(120.3, 0.05), stable(127, 0.008)];
    expect(withoutTones(lines, tones, glide, 2)).toEqual(lines.slice(1));
    expect(withoutTones(lines, [], glide, 2)).toEqual(lines);
  });
});

describe("a gliding bell beside a hum", () => {
  it("fitModes lists no partial that the hum makes on the bell's time axis, and every partial of the bell", () => {
    const random = makeRandom(11);
    const modes = [300, 610, 730, 905, 1220, 1850, 2460].map(
      (frequencyHz, k): TrueMode => ({
        frequencyHz: frequencyHz * (1 + 0.003 * random.normal()),
        decayRatePerS: 1 + 0.4 * k,
        amplitude: Float64Array.of(1 - 0.08 * k),
        phaseRad: Float64Array.of(random.between(-3, 3)),
      }),
    );
    const bell = renderBell(
      {
        sampleRateHz: FS,
        durationS: 5,
        quietS: 0.6,
        modes,
        noise: [whiteNoise(NOISE_SD)],
        tones: [{ frequencyHz: 50, amplitude: Float64Array.of(0.1) }],
        artefacts: { glide: { amount: 0.003, timeConstantS: 0.4 } },
        peak: 0.5,
      },
      4,
    );
    const fit = fitModes(ringOf(bell.channels, FS, bell.truth));
    expect(fit.glide?.amount).toBeCloseTo(0.003, 4);
    expect(fit.modes.filter((m) => m.frequencyHz < 200)).toEqual([]);
    for (const { frequencyHz } of modes) {
      expect(fit.modes.some((m) => Math.abs(m.frequencyHz / frequencyHz - 1) < 1e-4)).toBe(true);
    }
  });
});
