import { describe, expect, test } from "vitest";
import type { VoiceMember } from "../../../src/report/chart-spec.ts";
import { PEAK, renderTurns, renderVoice, voiceDurationS } from "../../../src/report/client/synth.ts";

const FS = 8000;

describe("voiceDurationS", () => {
  test("voiceDurationS(members) ends: a tone that does not decay is cut, a click is long enough to hear", () => {
    expect(voiceDurationS([[440, 0, 1, 0]])).toBe(20);
    expect(voiceDurationS([[440, 1e4, 1, 0]])).toBe(0.4);
  });

  test("voiceDurationS(members) is the 60 dB time of the slowest", () => {
    expect(
      voiceDurationS([
        [440, Math.log(1000) / 3, 1, 0],
        [880, 50, 1, 0],
      ]),
    ).toBeCloseTo(3, 12);
  });
});

describe("renderVoice", () => {
  const members: VoiceMember[] = [
    [440, 4, 1, 0.3],
    [441.5, 5, 0.6, -1.1],
  ];

  test("renderVoice(members) with every member at or over half the sample rate is silence, not a false tone", () => {
    expect(renderVoice([[4000, 5, 1, 0]], FS).every((sample) => sample === 0)).toBe(true);
  });

  test("renderVoice(members) is the sum of A exp(-alpha t) cos(2 pi f t + phi) up to one factor, between the fades", () => {
    const samples = renderVoice(members, FS);
    const truth = (i: number) =>
      members.reduce((sum, [f, a, amplitude, phase]) => {
        return sum + amplitude * Math.exp((-a * i) / FS) * Math.cos((2 * Math.PI * f * i) / FS + phase);
      }, 0);
    const from = Math.ceil(0.012 * FS);
    const to = samples.length - Math.ceil(0.06 * FS) - 1;
    const factor = samples[from]! / truth(from);
    let worst = 0;
    for (let i = from; i < to; i++) worst = Math.max(worst, Math.abs(samples[i]! - factor * truth(i)));
    // Single precision holds 6e-8 of full scale; four roundings a sample, and the factor taken from one of them.
    expect(worst).toBeLessThan(1e-6);
  });

  test("renderVoice(members) begins and ends at zero and never passes its safe peak", () => {
    const samples = renderVoice(members, FS);
    expect(samples[0]).toBe(0);
    expect(Math.abs(samples.at(-1)!)).toBe(0);
    const peak = samples.reduce((most, sample) => Math.max(most, Math.abs(sample)), 0);
    expect(peak).toBeCloseTo(PEAK, 6);
  });
});

describe("renderTurns(turns, sampleRateHz)", () => {
  const rms = (samples: Float32Array) =>
    Math.sqrt(samples.reduce((sum, sample) => sum + sample * sample, 0) / samples.length);

  test("renderTurns([], sampleRateHz) is no sound at all", () => {
    expect(renderTurns([], 8000)).toHaveLength(0);
  });

  test("renderTurns(turns, sampleRateHz) keeps the amplitudes, so that one turn can be softer than the next", () => {
    // T60 of 1 s: each turn lasts 1 s.
    const rate = Math.log(1000);
    const samples = renderTurns([[[400, rate, 0.1, 0]], [[400, rate, 0.2, 0]]], 8000);
    expect(samples).toHaveLength(16000);
    expect(rms(samples.subarray(8000)) / rms(samples.subarray(0, 8000))).toBeCloseTo(2, 5);
    expect(Math.max(...samples)).toBeLessThanOrEqual(0.2);
  });

  test("renderTurns(turns, sampleRateHz) ends a long ring after five seconds where another follows, and fades it out", () => {
    const rate = Math.log(1000) / 60;
    const both = renderTurns([[[400, rate, 0.1, 0]], [[500, rate, 0.1, 0]]], 8000);
    expect(both).toHaveLength(2 * 5 * 8000);
    expect(Math.abs(both[5 * 8000 - 1])).toBe(0);
    expect(renderTurns([[[400, rate, 0.1, 0]]], 8000)).toHaveLength(20 * 8000);
  });
});
