import fc from "fast-check";
import { data, fmtChunk, riff } from "../../audio/wav-builder.ts";
import { makeRandom, type Random } from "../../support/synthetic/random.ts";
import { runProgram } from "../program.ts";
import type { Target } from "../target.ts";

/** Kinds of signal that no bell makes, and a bell with something wrong; each fills one channel. */
const KINDS: Record<string, (samples: Float64Array, random: Random, rateHz: number) => void> = {
  silence: () => {},
  constant: (s) => void s.fill(0.7),
  square: (s, r, rate) => {
    const half = Math.max(1, Math.round(rate / r.logBetween(20, 4000) / 2));
    for (let i = 0; i < s.length; i++) s[i] = Math.floor(i / half) % 2 === 0 ? 1 : -1;
  },
  "one sample": (s, r) => {
    s[r.integer(0, s.length - 1)] = 1;
  },
  "two values": (s, r) => {
    for (let i = 0; i < s.length; i++) s[i] = r.sign();
  },
  noise: (s, r) => r.addNormal(s, r.logBetween(1e-6, 1)),
  sweep: (s, _, rate) => {
    for (let i = 0; i < s.length; i++)
      s[i] = 0.5 * Math.sin((Math.PI * i * i) / s.length / Math.max(1, rate / 8000));
  },
  sine: (s, r, rate) => addRing(s, r, rate, 0),
  bell: (s, r, rate) => ring(s, r, rate, 1),
  "growing bell": (s, r, rate) => ring(s, r, rate, -1),
  "struck often": (s, r, rate) => {
    for (let i = 0; i < 6; i++) ring(s.subarray(Math.floor((s.length * i) / 6)), r, rate, 1);
  },
  "clipped bell": (s, r, rate) => {
    ring(s, r, rate, 1);
    for (let i = 0; i < s.length; i++) s[i] = Math.max(-0.1, Math.min(0.1, s[i]!));
  },
};

function ring(samples: Float64Array, random: Random, rateHz: number, sign: number): void {
  const start = Math.floor(samples.length * random.between(0, 0.3));
  const struck = samples.subarray(start);
  for (let k = random.integer(1, 7); k > 0; k--) addRing(struck, random, rateHz, sign);
  random.addNormal(samples, random.logBetween(1e-7, 1e-3));
}

function addRing(samples: Float64Array, random: Random, rateHz: number, sign: number): void {
  const turn = (2 * Math.PI * random.logBetween(30, Math.max(31, rateHz / 2))) / rateHz;
  const rate = (sign * random.logBetween(0.5, 20)) / rateHz;
  const phase = random.between(0, 6);
  const level = random.between(0.01, 0.3);
  for (let i = 0; i < samples.length; i++)
    samples[i]! += level * Math.exp(-rate * i) * Math.sin(turn * i + phase);
}

/** What is done to single values afterwards: numbers that are none, too small, too large. */
const POISONS: Record<string, number[]> = {
  none: [],
  "no numbers": [Number.NaN],
  infinite: [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY],
  denormal: [1e-40, -1e-42],
  huge: [1e30, -3e38],
  mixed: [Number.NaN, Number.POSITIVE_INFINITY, 1e-45, 3e38],
};

export interface Signal {
  kind: string;
  seed: number;
  samples: number;
  channels: number;
  rateHz: number;
  gain: number;
  offset: number;
  poison: string;
  /** One value of so many is poisoned. */
  every: number;
}

export function floatWav({
  kind,
  seed,
  samples,
  channels,
  rateHz,
  gain,
  offset,
  poison,
  every,
}: Signal): Uint8Array {
  const random = makeRandom(seed);
  const values = new Float32Array(samples * channels);
  for (let c = 0; c < channels; c++) {
    const channel = new Float64Array(samples);
    if (samples > 0) KINDS[kind]!(channel, random, rateHz);
    for (let i = 0; i < samples; i++) values[i * channels + c] = channel[i]! * gain + offset;
  }
  const poisons = POISONS[poison]!;
  for (let i = 0; poisons.length > 0 && i < values.length; i += every) values[i] = random.pick(poisons);
  return riff([fmtChunk({ code: 3, bits: 32, channels, rateHz }), data(new Uint8Array(values.buffer))]);
}

/** Most values a case holds: what it may cost follows from them. */
const MOST_VALUES = 60_000;

/** Anything: most of it is refused, for its rate, its channels, its shortness, or for want of a strike. */
const anySignal: fc.Arbitrary<Signal> = fc.record({
  kind: fc.constantFrom(...Object.keys(KINDS), "bell", "bell", "bell"),
  seed: fc.nat(2 ** 31 - 1),
  samples: fc.oneof(fc.nat(20), fc.integer({ min: 20, max: 3000 }), fc.integer({ min: 3000, max: 40_000 })),
  channels: fc.oneof(
    { arbitrary: fc.constantFrom(1, 2), weight: 10 },
    { arbitrary: fc.integer({ min: 3, max: 8 }), weight: 2 },
    { arbitrary: fc.integer({ min: 9, max: 64 }), weight: 1 },
  ),
  rateHz: fc.oneof(
    { arbitrary: fc.constantFrom(8000, 16000, 22050, 44100, 48000, 96000, 192000), weight: 10 },
    { arbitrary: fc.integer({ min: 8000, max: 192000 }), weight: 3 },
    { arbitrary: fc.constantFrom(1, 2, 100, 7999, 192001, 1e6, 1e7), weight: 1 },
  ),
  gain: fc.constantFrom(1, 1, 1, 1, 1e-3, 1e-8, 1e-30, 100, 1e10, 1e38, -1),
  offset: fc.constantFrom(0, 0, 0, 0, 0.01, -0.9, 100, 1e-9),
  poison: fc.constantFrom("none", "none", "none", ...Object.keys(POISONS)),
  every: fc.constantFrom(1, 2, 3, 100, 5000),
});

/** A few seconds of something struck, at a low rate: most of it is measured. */
const struck: fc.Arbitrary<Signal> = fc.record({
  kind: fc.constantFrom("bell", "bell", "bell", "clipped bell", "struck often", "sine"),
  seed: fc.nat(2 ** 31 - 1),
  samples: fc.integer({ min: 16_000, max: MOST_VALUES }),
  channels: fc.constantFrom(1, 1, 1, 2),
  rateHz: fc.constantFrom(8000, 11025, 16000),
  gain: fc.constantFrom(1, 1, 1, 0.01, 1e-6, 3, 1e6),
  offset: fc.constantFrom(0, 0, 0, 0.01),
  poison: fc.constantFrom("none", "none", "none", "none", "denormal", "no numbers", "huge"),
  every: fc.constantFrom(1000, 20_000, 50_000),
});

const signals = fc.oneof(anySignal, struck).map((signal) => ({
  ...signal,
  samples: Math.min(signal.samples, Math.floor(MOST_VALUES / signal.channels)),
}));

export const SAMPLES_TARGET: Target<Signal & { ridges: number | null; pin: string | null }> = {
  name: "samples",
  what: "random signals through the whole program to JSON and HTML",
  share: 4,
  // The fit is the costly part: the slowest of a thousand signals of 60 000 values took 12 s of an old core.
  limits: { cpuMs: 60_000, cpuMsPerMegabyte: 0, memoryBytes: 512 * 2 ** 20, memoryPerByte: 200 },
  cases: fc
    .tuple(
      signals,
      fc.constantFrom(null, null, 1, 12, 360),
      fc.constantFrom(null, null, "nominal=1000", "hum=1"),
    )
    .map(([signal, ridges, pin]) => ({ ...signal, ridges, pin })),
  async check({ ridges, pin, ...signal }) {
    const wav = floatWav(signal);
    const options = [
      ...(ridges === null ? [] : ["--ridges", String(ridges)]),
      ...(pin === null ? [] : ["--pin", pin]),
    ];
    const verdict = await runProgram({
      argv: ["tap", "x.wav", "--json", "out.json", "--html", "out.html", ...options],
      files: { "x.wav": wav },
    });
    return { ...verdict, weightBytes: verdict.weightBytes + wav.length };
  },
};
