import { describe, expect, it } from "vitest";
import { openDecoded } from "../../src/audio/index.ts";
import { measureTap } from "../../src/tap/index.ts";
import { makeRandom } from "../support/synthetic/index.ts";
import { concatenate, OPTIONS, recordingOf, struck, tunedModes } from "./bells.ts";
import { expectTruth, expectWhole, FS, measure, PRIME_HZ } from "./measuring.ts";

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
      expect(m.strikes[odd].leftOut).toBe("another bell, 68 cents higher");
      expect(m.strikes[odd].otherBellCents).toBeCloseTo(1200 * Math.log2(1.04), 1);
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

  it("measureTap of recordings of two bells measures the first and says that the other stands apart", () => {
    const other = struck(tunedModes(PRIME_HZ * 1.07), 43).channels;
    const m = measureTap(
      [
        { file: "a.wav", recording: recordingOf(strike(41, 1), FS) },
        { file: "b.wav", recording: recordingOf(other, FS) },
      ],
      OPTIONS,
    );
    expect(m.strikes.map((s) => s.leftOut)).toEqual([null, "another bell, 117 cents higher"]);
    expect(m.findings.find(({ id }) => id === "other-sounds")?.title).toBe(
      "b.wav is another bell, 117 cents higher",
    );
    expectTruth(m, modes);
  });

  it("measureTap of a recording that is read piece by piece is that of the same recording in memory", () => {
    const channels = concatenate([strike(21, 0.5), strike(22, 1)]).map((x) => x.map((v) => v + 0.01));
    const held = openDecoded(recordingOf([...channels, channels[0].map((v) => 0.5 * v)], FS));
    const piecewise = {
      ...held,
      held: null,
      read: (from: number, to: number) => held.read(from, to).map((x) => x.slice()),
    };
    const m = measureTap([{ file: "bell.wav", recording: piecewise }], OPTIONS);
    expect(m).toEqual(measureTap([{ file: "bell.wav", recording: held }], OPTIONS));
  });
});
