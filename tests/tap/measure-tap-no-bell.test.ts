import { describe, expect, it } from "vitest";
import type { TapMeasurement } from "../../src/measurement/index.ts";
import { NotMeasurableError } from "../../src/tap/index.ts";
import { decayRateOfT60, makeRandom } from "../support/synthetic/index.ts";
import { struck, tunedModes } from "./bells.ts";
import { expectWhole, FS, measure, PRIME_HZ } from "./measuring.ts";

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
