import { describe, expect, it } from "vitest";
import { openDecoded } from "../../src/audio/index.ts";
import { examineRecording } from "../../src/tap/index.ts";
import { concatenate, recordingOf, struck, tunedModes } from "./bells.ts";

const FS = 16000;
const examine = (channels: Float32Array[], bits: number | null = 16) =>
  examineRecording("bell.wav", openDecoded(recordingOf(channels, FS, { bits })));

function threeStrikes() {
  const parts = [0.4, 1, 0.7].map((gain, k) => {
    const bell = struck(tunedModes(400, [gain]), k + 1, { durationS: 2.5, quietS: 0.5, peak: 0.5 * gain });
    return bell.channels;
  });
  return concatenate(parts);
}

describe("examineRecording", () => {
  it("examineRecording gives the reason for a recording of silence, as a warning too", () => {
    const { strikes, reason, info } = examine([new Float32Array(FS)]);
    expect(strikes).toEqual([]);
    expect(reason).toMatch(/silent/);
    expect(info.warnings).toEqual([reason]);
    expect(info.durationS).toBe(1);
  });

  it("examineRecording gives the reason for one sample", () => {
    const { strikes, reason } = examine([new Float32Array(1)]);
    expect(strikes).toEqual([]);
    expect(reason).toMatch(/only 0 ms/);
  });

  it("examineRecording finds the strike of a synthetic bell at its first contact", () => {
    const bell = struck(tunedModes(400), 1);
    const { strikes, quiet, reason } = examine(bell.channels);
    expect(strikes).toHaveLength(1);
    expect(reason).toBeNull();
    // A rod's first half period at 16 kHz lies within 2 ms.
    expect(Math.abs(strikes[0].strike.onsetSample - bell.truth.onsetSample)).toBeLessThanOrEqual(0.002 * FS);
    expect(strikes[0].strike.contactSamples).toHaveLength(1);
    expect(quiet?.startSample).toBeGreaterThanOrEqual(0);
  });

  it("examineRecording gives three strikes, the best first, none running into the next", () => {
    const { strikes } = examine(threeStrikes());
    expect(strikes).toHaveLength(3);
    expect(strikes[0].strike.snrDb).toBe(Math.max(...strikes.map(({ strike }) => strike.snrDb)));
    const byTime = [...strikes].sort((a, b) => a.strike.onsetSample - b.strike.onsetSample);
    for (const [i, { strike, endSample }] of byTime.entries()) {
      expect(endSample).toBeLessThanOrEqual(byTime[i + 1]?.strike.onsetSample ?? 7.5 * FS);
      expect(endSample).toBeGreaterThan(strike.ringStartSample);
    }
  });

  it("examineRecording takes the rounding of the file's bits for the least noise", () => {
    const bell = struck(tunedModes(400), 1);
    const floorOf = (bits: number | null) => examine(bell.channels, bits).noiseFloor;
    // Rounding to a step q has variance q^2/12; the step is 2/2^bits at full scale 1.
    expect(floorOf(16)).toBeCloseTo((2 / 65536) ** 2 / 12, 20);
    expect(floorOf(8)).toBeCloseTo((2 / 256) ** 2 / 12, 15);
    expect(floorOf(32)).toBe(floorOf(24));
    expect(floorOf(null)).toBe(floorOf(24));
  });

  it("examineRecording reports format, channels, offset and clipping", () => {
    const bell = struck(tunedModes(400), 1);
    const hot = bell.channels[0].map((v) => Math.max(-1, Math.min(1, 4 * v)));
    const { info } = examine([hot]);
    expect(info).toMatchObject({
      file: "bell.wav",
      format: "WAV",
      channels: 1,
      bits: 16,
      durationS: 2.5,
      clipped: true,
      channelUse: "one channel",
    });
    expect(info.clippedSamples).toBeGreaterThan(0);
  });
});
