import { describe, expect, it } from "vitest";
import { findAllStrikes, strikeInfo } from "../../src/tap/strikes.ts";
import { concatenate, recordingOf, struck, tunedModes } from "./bells.ts";

const FS = 16000;
const input = (channels: Float32Array[], file = "bell.wav") => ({
  file,
  recording: recordingOf(channels, FS),
});

function threeStrikes() {
  const parts = [0.4, 1, 0.7].map((gain, k) => {
    const bell = struck(tunedModes(400, [gain]), k + 1, { durationS: 2.5, quietS: 0.5, peak: 0.5 * gain });
    return bell.channels;
  });
  return concatenate(parts);
}

describe("findAllStrikes", () => {
  it("findAllStrikes gives the reason for a recording of silence", () => {
    const found = findAllStrikes([input([new Float32Array(FS)])]);
    expect(found.strikes).toEqual([]);
    expect(found.reasons).toHaveLength(1);
    expect(found.recordings[0].durationS).toBe(1);
  });

  it("findAllStrikes gives the reason for one sample", () => {
    const found = findAllStrikes([input([new Float32Array(1)])]);
    expect(found.strikes).toEqual([]);
    expect(found.reasons).toHaveLength(1);
  });

  it("findAllStrikes names the file of a bad recording among several and goes on", () => {
    const bell = struck(tunedModes(400), 1);
    const found = findAllStrikes([
      input([new Float32Array(FS)], "empty.wav"),
      input(bell.channels, "bell.wav"),
    ]);
    expect(found.reasons).toEqual([expect.stringMatching(/^empty\.wav: /)]);
    expect(found.strikes.map((s) => s.recording)).toEqual([1]);
    expect(found.recordings.map((r) => r.file)).toEqual(["empty.wav", "bell.wav"]);
    // What is measured from the others still says that this one held nothing, and why.
    expect(found.recordings.map((r) => r.warnings.length)).toEqual([1, 0]);
    expect(found.reasons).toEqual([`empty.wav: ${found.recordings[0].warnings[0]}`]);
  });

  it("findAllStrikes finds the strike of a synthetic bell at its first contact", () => {
    const bell = struck(tunedModes(400), 1);
    const { strikes } = findAllStrikes([input(bell.channels)]);
    expect(strikes).toHaveLength(1);
    // A rod's first half period at 16 kHz lies within 2 ms.
    expect(Math.abs(strikes[0].ring.onsetSample - bell.truth.onsetSample)).toBeLessThanOrEqual(0.002 * FS);
    expect(strikes[0].ring.bounced).toBe(false);
    expect(strikes[0].quiet?.startSample).toBeGreaterThanOrEqual(0);
  });

  it("findAllStrikes gives three strikes, the best first, none running into the next", () => {
    const { strikes } = findAllStrikes([input(threeStrikes())]);
    expect(strikes).toHaveLength(3);
    const loudest = strikes.reduce((a, b) => (b.strike.snrDb > a.strike.snrDb ? b : a));
    expect(strikes[0]).toBe(loudest);
    const byTime = [...strikes].sort((a, b) => a.ring.onsetSample - b.ring.onsetSample);
    for (const [i, s] of byTime.entries()) {
      expect(s.ring.endSample).toBeLessThanOrEqual(byTime[i + 1]?.ring.onsetSample ?? 7.5 * FS);
      expect(s.ring.endSample).toBeGreaterThan(s.ring.ringStartSample);
    }
  });

  it("findAllStrikes takes the rounding of the file's bits for the least noise", () => {
    const bell = struck(tunedModes(400), 1);
    const floorOf = (bits: number | null) =>
      findAllStrikes([{ file: "a", recording: recordingOf(bell.channels, FS, { bits }) }]).strikes[0].ring
        .noiseFloor;
    // Rounding to a step q has variance q^2/12; the step is 2/2^bits at full scale 1.
    expect(floorOf(16)).toBeCloseTo((2 / 65536) ** 2 / 12, 20);
    expect(floorOf(8)).toBeCloseTo((2 / 256) ** 2 / 12, 15);
    expect(floorOf(32)).toBe(floorOf(24));
    expect(floorOf(null)).toBe(floorOf(24));
  });

  it("findAllStrikes reports format, channels, offset and clipping of each recording", () => {
    const bell = struck(tunedModes(400), 1);
    const hot = bell.channels[0].map((v) => Math.max(-1, Math.min(1, 4 * v)));
    const { recordings } = findAllStrikes([input([hot])]);
    expect(recordings[0]).toMatchObject({
      file: "bell.wav",
      format: "WAV",
      channels: 1,
      bits: 16,
      durationS: 2.5,
      clipped: true,
      channelUse: "one channel",
    });
    expect(recordings[0].clippedSamples).toBeGreaterThan(0);
  });
});

describe("strikeInfo", () => {
  it("strikeInfo gives seconds from the start of the recording, and the reason it was left out", () => {
    const bell = struck(tunedModes(400), 1);
    const [audio] = findAllStrikes([input(bell.channels)]).strikes;
    const info = strikeInfo(audio, audio.ring.ringStartSample + 160, "too quiet against the noise");
    expect(info.onsetS).toBe(audio.ring.onsetSample / FS);
    expect(info.fitStartS).toBe((audio.ring.ringStartSample + 160) / FS);
    expect(info.usedS).toBeCloseTo(info.endS - info.fitStartS, 12);
    expect(info.leftOut).toBe("too quiet against the noise");
    expect(info.recording).toBe(0);
  });
});
