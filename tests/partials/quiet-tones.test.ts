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

describe("quietTones, bin by bin", () => {
  const SIZE = 2048;
  /** Channels that hold, from sample 2500 on for `SIZE` samples, tones of whole numbers of turns, and loud clicks outside. */
  const exact = (
    tones: [number, number][][],
    quiet = { startSample: 2500, endSample: 2500 + SIZE },
  ): RingDown => ({
    ...quietOf(() => 0, quiet),
    channels: tones.map((own) => {
      const x = new Float32Array(quiet.endSample + 100);
      for (const [turns, amplitude] of own) {
        for (let n = quiet.startSample; n < quiet.endSample; n++) {
          x[n] += amplitude * Math.cos((2 * Math.PI * turns * (n - 100)) / SIZE + 0.4);
        }
      }
      x[50] = x[quiet.endSample + 50] = 1;
      return x;
    }),
  });
  const noiseOf = (...variances: number[]) =>
    variances.map((v) => ({ centresHz: Float64Array.of(20, 4000), variance: Float64Array.of(v, v) }));
  const turnsOf = (ring: RingDown, noise = noiseOf(1e-12, 1e-12)) =>
    quietTones(ring, noise).map(({ frequencyHz }) => (frequencyHz * SIZE) / FS);

  it("quietTones(whole turns) has their frequencies and amplitudes, each channel by itself", () => {
    const tones = quietTones(
      exact([
        [
          [100, 0.01],
          [400, 0.002],
        ],
        [[250, 0.03]],
      ]),
      noiseOf(1e-12, 1e-12),
    );
    expect(tones.map(({ frequencyHz }) => (frequencyHz * SIZE) / FS)).toEqual([100, 400, 250]);
    tones.forEach(({ amplitude }, i) => {
      expect(amplitude / [0.01, 0.002, 0.03][i]).toBeCloseTo(1, 5);
    });
  });

  it("quietTones asks of a bin what noise exceeds in one of a hundred quiets, by the noise of its channel", () => {
    // exp(-power over mean) times the bins; under Hann's window a bin has 3/8 of N S, and a tone A N / 4.
    const mean = 0.375 * SIZE * 1e-8;
    const least = Math.sqrt(Math.log(SIZE / 2 / 0.01) * mean) * (4 / SIZE);
    const found = (factor: number, noise: number[]) =>
      turnsOf(exact([[[200, factor * least]], [[300, factor * least]]]), noiseOf(...noise));
    expect(found(0.99, [1e-8, 1e-8])).toEqual([]);
    expect(found(1.01, [1e-8, 1e-8])).toEqual([200, 300]);
    expect(found(1.01, [2e-8, 1e-8])).toEqual([300]);
  });

  it("quietTones leaves out what lies next to the ends of the spectrum", () => {
    const last = SIZE / 2;
    for (const [turns, count] of [
      [1, 0],
      [2, 1],
      [last - 2, 1],
      [last - 1, 0],
    ]) {
      expect(turnsOf(exact([[[turns, 0.01]]])).filter((t) => Math.abs(t - turns) < 1).length).toBe(count);
    }
  });

  it("quietTones uses no more than 2^17 samples of a long quiet", () => {
    // Half a bin of that beside a quarter of the sample rate; a transform twice as long would have it exactly.
    const turns = (SIZE / 4) * (1 + 2 / 2 ** 17);
    const ring = exact([[[turns, 0.01]]], { startSample: 100, endSample: 100 + 2 ** 18 });
    const strongest = quietTones(ring, noiseOf(1e-12)).reduce((a, b) => (b.amplitude > a.amplitude ? b : a));
    expect([FS / 4, FS / 4 + FS / 2 ** 17]).toContain(strongest.frequencyHz);
  });
});

describe("withoutTones", () => {
  it("withoutTones reaches as far as the glide moves a tone, its spectrum and two bins, and as loud as twice its modulation", () => {
    for (const amount of [0.003, -0.003]) {
      const glide = { amount, timeConstantS: 0.1 };
      const tone = { frequencyHz: 300, amplitude: 0.01 };
      const reachHz = 0.9 + 1 / (2 * Math.PI * 0.1) + 2 * 0.5;
      const loudest = 2 * (2 * Math.PI * 300 * 0.003 * 0.1) * 0.01;
      const left = (frequencyHz: number, amplitude: number, g = glide) =>
        withoutTones([stable(frequencyHz, amplitude)], [{ frequencyHz: 2000, amplitude: 1e-9 }, tone], g, 0.5)
          .length;
      for (const side of [-1, 1]) {
        expect(left(300 + side * 0.99 * reachHz, 0.99 * loudest)).toBe(0);
        expect(left(300 + side * 1.01 * reachHz, 0.99 * loudest)).toBe(1);
        expect(left(300 + side * 0.99 * reachHz, 1.01 * loudest)).toBe(1);
      }
      // However far it glides, no more than all of the tone goes beside it.
      const far = { amount, timeConstantS: 0.3 };
      expect([left(300, 0.0199, far), left(300, 0.0201, far)]).toEqual([0, 1]);
    }
  });

  it("withoutTones takes the amplitude of a line over all channels", () => {
    const two = stable(120.3, 0);
    two.line.cRe = Float64Array.of(0.003, 0);
    two.line.cIm = Float64Array.of(0, 0.004);
    const left = (amplitude: number) =>
      withoutTones([two], [{ frequencyHz: 120, amplitude }], { amount: 0.003, timeConstantS: 10 }, 2).length;
    // Twice 0.005 of the line, twice the tone.
    expect([left(0.00499), left(0.00501)]).toEqual([1, 0]);
  });

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
