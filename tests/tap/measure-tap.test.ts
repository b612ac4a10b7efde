import { beforeAll, describe, expect, it } from "vitest";
import { decodeRecording } from "../../src/audio/index.ts";
import { readTapJson, type TapMeasurement, writeTapJson } from "../../src/measurement/index.ts";
import { METHOD, measureTap, NotMeasurableError } from "../../src/tap/index.ts";
import { data, floatBytes, fmtChunk, riff } from "../audio/wav-builder.ts";
import { decayRateOfT60, makeRandom, type TrueMode } from "../support/synthetic/index.ts";
import { concatenate, OPTIONS, recordingOf, struck, tunedModes } from "./bells.ts";

const FS = 16000;
const PRIME_HZ = 400;
const NAMES = ["hum", "prime", "tierce", "quint", "nominal", "superquint", "octave nominal"];

const measure = (channels: Float32Array[], sampleRateHz = FS) =>
  measureTap([{ file: "bell.wav", recording: recordingOf(channels, sampleRateHz) }], OPTIONS);

/** Paths of the numbers that are not finite. */
function notFinite(data: unknown, path = ""): string[] {
  if (typeof data === "number") return Number.isFinite(data) ? [] : [path];
  if (typeof data !== "object" || data === null) return [];
  return Object.entries(data).flatMap(([key, item]) => notFinite(item, `${path}.${key}`));
}

function expectWhole(m: TapMeasurement) {
  expect(notFinite(m)).toEqual([]);
  const text = writeTapJson(m);
  expect(writeTapJson(readTapJson(text))).toBe(text);
}

/**
 * The values that should lie in their 95 % intervals: of `count` independent ones, more than this many outside come by
 * chance less than once in a hundred (binomial).
 */
function mostOutside(count: number): number {
  let tail = 1;
  let term = 0.95 ** count;
  for (let k = 0; ; k++) {
    tail -= term;
    if (tail < 0.01) return k;
    term *= ((count - k) / (k + 1)) * (0.05 / 0.95);
  }
}

function expectTruth(m: TapMeasurement, modes: TrueMode[]) {
  expect(m.partials).toHaveLength(modes.length);
  const outside = modes.flatMap((mode, i) => {
    const { frequencyHz: f, decayTimeS: t } = m.partials[i];
    const t60S = Math.log(1000) / mode.decayRatePerS;
    return [Math.abs(f.value - mode.frequencyHz) > f.ci95, Math.abs(t.value - t60S) > t.ci95];
  });
  expect(outside.filter(Boolean).length).toBeLessThanOrEqual(mostOutside(outside.length));
}

/** A tuned bell whose tierce and nominal are split by 0.8 and 1.7 Hz. */
function splitModes(gains: number[] = [1]): TrueMode[] {
  const modes = tunedModes(PRIME_HZ, gains);
  const twin = (mode: TrueMode, splitHz: number) => ({
    ...mode,
    frequencyHz: mode.frequencyHz + splitHz,
    amplitude: mode.amplitude.map((a) => 0.6 * a),
  });
  return [...modes, twin(modes[2], 0.8), twin(modes[4], 1.7)].sort((a, b) => a.frequencyHz - b.frequencyHz);
}

describe("measureTap of one strike", () => {
  let m: TapMeasurement;
  beforeAll(() => {
    m = measure(struck(tunedModes(PRIME_HZ), 11).channels);
  });

  it("measureTap finds every partial of a tuned bell, its frequency and decay within their intervals", () => {
    expectTruth(m, tunedModes(PRIME_HZ));
  });

  it("measureTap names the partials of a tuned bell", () => {
    expect(m.partials.map((p) => p.name)).toEqual(NAMES);
  });

  it("measureTap finds no doublet, no interference and no glide where none was put in", () => {
    expect(m.partials.every((p) => p.doublet === null)).toBe(true);
    expect(m.interference).toEqual([]);
    expect(m.fit.freeDecay).toBe(true);
    expect(m.fit.note).toBeNull();
  });

  it("measureTap gives no spread between strikes of one strike", () => {
    expect(m.strikes).toHaveLength(1);
    expect(m.partials.every((p) => p.strikeSpreadHz === null && p.strikeSpreadS === null)).toBe(true);
  });

  it("measureTap says what made it: schema, method, options", () => {
    expect(m.schema).toBe("ringwright.tap/1");
    expect(m.tool).toMatchObject({ name: "ringwright", method: METHOD });
    expect(m.options).toEqual(OPTIONS);
  });

  it("measureTap gives the strike note of the tuned bell: half the nominal", () => {
    // The name of the note is by A = 440 Hz: 400 Hz is 35 cents over G4.
    expect(m.strikeNote?.note).toBe("G4");
    expect(Math.abs((m.strikeNote?.frequencyHz.value ?? 0) / PRIME_HZ - 1)).toBeLessThan(0.005);
  });

  it("measureTap draws the whole sound and every partial", () => {
    expect(m.curves.ringDowns.map((r) => r.partial)).toEqual([null, 0, 1, 2, 3, 4, 5, 6]);
  });

  it("measureTap gives finite numbers that are written and read back the same", () => expectWhole(m));

  it("measureTap gives the same measurement again", () => {
    expect(measure(struck(tunedModes(PRIME_HZ), 11).channels)).toEqual(m);
  });
});

describe("measureTap of a split bell", () => {
  it("measureTap finds the doublets, their splits within their intervals, in mono and in stereo", () => {
    for (const gains of [[1], [1, 0.7]]) {
      const m = measure(struck(splitModes(gains), 12, { durationS: 3.5 }).channels);
      const split = m.partials.filter((p) => p.doublet !== null);
      expect(split.map((p) => p.name)).toEqual(["tierce", "nominal"]);
      const errors = split.map((p, i) => Math.abs((p.doublet?.splitHz.value ?? 0) - [0.8, 1.7][i]));
      // Four standard errors: two splits in two recordings, once in several thousand.
      errors.forEach((e, i) => {
        expect(e).toBeLessThan(((split[i].doublet?.splitHz.ci95 ?? 0) * 4) / 1.96);
      });
      expectWhole(m);
    }
  });
});

describe("measureTap of several strikes", () => {
  const modes = tunedModes(PRIME_HZ);
  const strike = (seed: number, gain: number, factor = 1) => {
    // Another strike: the same poles, other amplitudes and phases.
    const random = makeRandom(seed);
    const again = modes.map((m) => ({
      ...m,
      frequencyHz: m.frequencyHz * factor,
      amplitude: m.amplitude.map((a) => a * random.logBetween(0.5, 2)),
      phaseRad: m.phaseRad.map((p) => p + random.between(-0.5, 0.5)),
    }));
    return struck(again, seed, { peak: 0.6 * gain }).channels;
  };

  it("measureTap pools three strikes of one recording and shows their spread", () => {
    const m = measure(concatenate([strike(21, 0.5), strike(22, 1), strike(23, 0.7)]));
    expect(m.strikes.map((s) => s.leftOut)).toEqual([null, null, null]);
    expect(m.strikes.map((s) => s.onsetS)).toEqual(
      [0.5, 3, 5.5].map((s) => expect.closeTo(s, 2) as unknown as number),
    );
    expectTruth(m, modes);
    expect(m.partials.every((p) => p.strikeSpreadHz !== null && p.strikeSpreadS !== null)).toBe(true);
    expect(m.partials.every((p) => p.seenIn.includes("3 strikes"))).toBe(true);
    expectWhole(m);
  });

  it("measureTap leaves out a strike of another bell and says so, whichever is the best", () => {
    for (const odd of [0, 1, 2]) {
      const parts = [0, 1, 2].map((k) => strike(31 + k, k === 1 ? 1 : 0.6, k === odd ? 1.04 : 1));
      const m = measure(concatenate(parts));
      expect(m.strikes.map((s) => s.leftOut !== null)).toEqual([0, 1, 2].map((k) => k === odd));
      expect(m.strikes[odd].leftOut).toBe("its frequencies stand apart from those of the other strikes");
      expectTruth(m, modes);
    }
  });

  it("measureTap pools the strikes of two recordings", () => {
    const m = measureTap(
      [
        { file: "a.wav", recording: recordingOf(strike(41, 1), FS) },
        { file: "b.wav", recording: recordingOf(strike(42, 1), FS) },
      ],
      OPTIONS,
    );
    expect(m.recordings.map((r) => r.file)).toEqual(["a.wav", "b.wav"]);
    expect(m.strikes.map((s) => s.recording)).toEqual([0, 1]);
    expectTruth(m, modes);
    expectWhole(m);
  });
});

describe("measureTap of two microphones", () => {
  it("measureTap claims no more of one microphone on two channels than of one channel", () => {
    const [x] = struck(tunedModes(PRIME_HZ), 51).channels;
    const mono = measure([x]);
    const dual = measure([x, x.map((v) => -0.5 * v)]);
    expect(dual.partials).toEqual(mono.partials);
  });

  it("measureTap measures beside a dead channel as if it were not there", () => {
    const [x] = struck(tunedModes(PRIME_HZ), 52).channels;
    expect(measure([new Float32Array(x.length), x]).partials).toEqual(measure([x]).partials);
  });

  it("measureTap takes two microphones of their own noise jointly and still finds the truth", () => {
    const m = measure(struck(tunedModes(PRIME_HZ, [1, 0.5]), 53).channels);
    expect(m.recording.channelUse).toBe("channels 1 and 2, fitted jointly");
    expectTruth(m, tunedModes(PRIME_HZ));
  });
});

describe("measureTap of a clipped strike", () => {
  it("measureTap says that the strike is clipped and measures what is not", () => {
    const [x] = struck(tunedModes(PRIME_HZ), 61).channels;
    const hot = x.map((v) => Math.max(-1, Math.min(32767 / 32768, 4 * v)));
    const m = measure([hot]);
    expect(m.recording.clipped).toBe(true);
    expect(m.strikes[0].clipped).toBe(true);
    expect(m.findings.find((f) => f.id === "clipping")?.outcome).toBe("attention");
    const hum = m.partials.find((p) => p.name === "hum");
    expect(hum?.frequencyHz.value).toBeCloseTo(PRIME_HZ / 2, 1);
    expectWhole(m);
  });
});

describe("measureTap of a file with samples that are no numbers", () => {
  const decode = (values: number[]) =>
    decodeRecording(riff([fmtChunk({ code: 3, rateHz: FS, bits: 32 }), data(floatBytes(values, 4))]));

  it("measureTap measures around a few of them and passes the reader's warning on", async () => {
    const values = [...struck(tunedModes(PRIME_HZ), 71).channels[0]];
    for (const n of [10, 20_000, 30_000]) values[n] = Number.NaN;
    const m = measureTap([{ file: "bell.wav", recording: await decode(values) }], OPTIONS);
    expect(m.recording.warnings).toEqual([expect.stringContaining("3 samples are not finite numbers")]);
    expect(m.partials.map((p) => p.name)).toEqual(
      expect.arrayContaining(["hum", "prime", "tierce", "nominal"]),
    );
    expectWhole(m);
  });

  it("measureTap takes a file of nothing else for silence", async () => {
    const recording = await decode(new Array(FS).fill(Number.NaN));
    expect(() => measureTap([{ file: "bell.wav", recording }], OPTIONS)).toThrow(NotMeasurableError);
  });
});

/** Signals that no bell makes, or hardly one, by name. */
function nasty(): [name: string, channels: Float32Array[], sampleRateHz: number][] {
  const random = makeRandom(2024);
  const make = (seconds: number, of: (t: number, n: number) => number, fs = FS) =>
    Float32Array.from({ length: Math.round(seconds * fs) }, (_, n) => of(n / fs, n));
  const noise = (sd: number) => sd * random.normal();
  const decay = (f: number, t60S: number, from: number) => (t: number) =>
    t < from
      ? 0
      : 0.5 * Math.exp(-decayRateOfT60(t60S) * (t - from)) * Math.sin(2 * Math.PI * f * (t - from));
  const list: [string, Float32Array[], number][] = [
    ["silence", [make(1, () => 0)], FS],
    ["all channels silent", [make(1, () => 0), make(1, () => 0)], FS],
    ["one sample", [Float32Array.of(0.5)], FS],
    ["no more than two samples", [Float32Array.of(0.5, -0.5)], FS],
    ["50 ms", [struck(tunedModes(PRIME_HZ), 1).channels[0].slice(8000, 8800)], FS],
    ["constant", [make(1, () => 0.7)], FS],
    ["full scale constant", [make(1, () => 1)], FS],
    ["one step", [make(1, (t) => (t < 0.5 ? 0 : 0.5))], FS],
    ["steps", [make(2, (t) => (Math.floor(4 * t) % 2 ? 0.5 : -0.2))], FS],
    ["one impulse", [make(1, (_, n) => (n === 8000 ? 1 : 0))], FS],
    ["impulses", [make(2, (_, n) => (n % 4001 === 1 ? 1 : 0))], FS],
    ["impulse in noise", [make(1, (_, n) => (n === 8000 ? 1 : 0) + noise(1e-3))], FS],
    ["impulse at the first sample", [make(1, (_, n) => (n === 0 ? 1 : 0))], FS],
    ["impulse at the last sample", [make(1, (_, n) => (n === FS - 1 ? 1 : 0))], FS],
    ["alternating full scale", [make(1, (_, n) => (n % 2 ? 1 : -1))], FS],
    ["least code noise", [make(1, () => Math.round(random.uniform()) / 32768)], FS],
    ["one code", [make(1, (_, n) => (n === 5000 ? 1 / 32768 : 0))], FS],
    ["ramp", [make(1, (t) => t - 0.5)], FS],
    ["chirp", [make(2, (t) => 0.5 * Math.sin(2 * Math.PI * (100 + 1000 * t) * t))], FS],
    ["chirp after quiet", [make(2, (t) => (t < 0.5 ? 0 : 0.5 * Math.sin(2 * Math.PI * 2000 * t * t)))], FS],
    ["tone that grows", [make(2, (t) => 1e-3 * Math.exp(3 * t) * Math.sin(2 * Math.PI * 440 * t))], FS],
    [
      "noise that decays",
      [make(1, (t) => (t < 0.3 ? noise(1e-4) : noise(0.3) * Math.exp(-8 * (t - 0.3))))],
      FS,
    ],
    [
      "tone that stops",
      [make(1, (t) => (t > 0.3 && t < 0.6 ? 0.5 * Math.sin(2 * Math.PI * 500 * t) : 0))],
      FS,
    ],
    ["reversed bell", [struck(tunedModes(PRIME_HZ), 2).channels[0].slice().reverse()], FS],
    ["bell cut at both ends", [struck(tunedModes(PRIME_HZ), 3).channels[0].slice(9000, 14000)], FS],
    [
      "stereo of opposite sign",
      [decay(700, 1, 0.2), (t: number) => -decay(700, 1, 0.2)(t)].map((f) => make(1, f)),
      FS,
    ],
    ["subsonic", [make(2, (t) => 0.5 * Math.sin(2 * Math.PI * 5 * t))], FS],
    ["decay without noise", [make(1, decay(700, 1, 0.2))], FS],
    ["two equal decays", [make(1, (t) => decay(700, 1, 0.2)(t) + decay(700, 1, 0.2)(t))], FS],
    ["decay near half the rate", [make(1, decay(7990, 1, 0.2))], FS],
    ["8 kHz", struck(tunedModes(500), 4, { sampleRateHz: 8000, durationS: 1.5 }).channels, 8000],
    [
      "192 kHz, short",
      struck(tunedModes(2000), 5, { sampleRateHz: 192000, durationS: 0.6, quietS: 0.2 }).channels,
      192000,
    ],
    [
      "8 channels",
      Array.from({ length: 8 }, (_, c) => make(1, (t) => decay(700 + c, 0.5, 0.3)(t) + noise(1e-3))),
      FS,
    ],
  ];
  for (const sd of [1e-6, 1e-3, 0.3]) list.push([`noise of ${sd}`, [make(1, () => noise(sd))], FS]);
  for (const f of [50, 440, 1000, 7999]) {
    list.push([
      `steady tone of ${f} Hz`,
      [make(1.5, (t) => 0.5 * Math.sin(2 * Math.PI * f * t) + noise(1e-4))],
      FS,
    ]);
    list.push([
      `tone of ${f} Hz from a start`,
      [make(1.5, (t) => (t < 0.5 ? 0 : 0.5 * Math.sin(2 * Math.PI * f * t)))],
      FS,
    ]);
    list.push([
      `square wave of ${f} Hz`,
      [make(1, (t) => (Math.sin(2 * Math.PI * f * t + 0.1) > 0 ? 0.9 : -0.9))],
      FS,
    ]);
  }
  for (const t60S of [0.001, 0.005, 0.01, 0.02, 0.05]) {
    list.push([`decay of ${t60S} s`, [make(1, (t) => decay(900, t60S, 0.4)(t) + noise(1e-4))], FS]);
  }
  for (let k = 0; k < 10; k++) {
    // A handful of decays, delays and noises, some absurd.
    const parts = Array.from({ length: random.integer(1, 4) }, () =>
      decay(random.logBetween(10, 9000), random.logBetween(0.003, 100), random.between(0, 1)),
    );
    const sd = random.logBetween(1e-6, 0.3);
    const gain = random.logBetween(0.01, 20);
    list.push([
      `mixture ${k}`,
      [make(1.2, (t) => Math.max(-1, Math.min(1, gain * parts.reduce((s, f) => s + f(t), noise(sd)))))],
      FS,
    ]);
  }
  return list;
}

describe("measureTap of what is no bell", () => {
  it.each(nasty())(
    "measureTap says why it cannot, in one sentence, or gives a whole measurement: %s",
    (...row) => {
      const [, channels, sampleRateHz] = row;
      let m: TapMeasurement | null = null;
      try {
        m = measure(channels, sampleRateHz);
      } catch (error) {
        expect(error).toBeInstanceOf(NotMeasurableError);
        const { message } = error as NotMeasurableError;
        expect(message).toMatch(/^[^\n]{20,300}$/);
        expect(message).not.toMatch(/\. [A-Z]|NaN|undefined|null/);
      }
      if (m) {
        expect(m.partials.length).toBeGreaterThan(0);
        expectWhole(m);
      }
    },
  );

  it("measureTap finds nothing to measure in silence, noise, a constant and one sample", () => {
    const rows = new Map(nasty().map(([name, channels]) => [name, channels]));
    for (const name of [
      "silence",
      "all channels silent",
      "one sample",
      "50 ms",
      "constant",
      "noise of 0.3",
    ]) {
      expect(() => measure(rows.get(name) ?? []), name).toThrow(NotMeasurableError);
    }
  });
});
