import { describe, expect, it } from "vitest";
import { type OpenRecording, openDecoded } from "../../src/audio/index.ts";
import { MOST_SOUND_BYTES, soundForReport } from "../../src/cli/report-sound.ts";
import { sampleStrike } from "../support/sample-parts.ts";

const recording = (seconds: number, channels = 1): OpenRecording =>
  openDecoded({
    format: "wav",
    lossy: false,
    sampleRateHz: 48000,
    bits: 16,
    channels: Array.from({ length: channels }, () => new Float32Array(seconds * 48000)),
    warnings: [],
  });
const bytes = (channels: Float32Array[]) => channels.reduce((sum, { length }) => sum + 2 * length, 0);

describe("soundForReport", () => {
  it("soundForReport(short recording) is the whole of it", () => {
    const short = recording(10, 2);
    expect(soundForReport(short, [])).toEqual({ channels: short.held, cut: null });
  });

  it("soundForReport(long recording) is the strike used for longest, with a little before it", () => {
    const strikes = [
      sampleStrike({ onsetS: 10, endS: 14, usedS: 3.9 }),
      sampleStrike({ onsetS: 100, endS: 112, usedS: 11.9 }),
      sampleStrike({ recording: 1, onsetS: 0, endS: 50, usedS: 49 }),
    ];
    const { channels, cut } = soundForReport(recording(200), strikes);
    expect(cut).toEqual({ fromS: 99.75, toS: 112 });
    expect(channels[0]!.length).toBe(12.25 * 48000);
  });

  it("soundForReport(long recording) never exceeds the stated size, with or without a strike", () => {
    for (const strikes of [[], [sampleStrike({ onsetS: 0.1, endS: 200, usedS: 199 })]]) {
      const { channels, cut } = soundForReport(recording(200, 2), strikes);
      expect(cut?.fromS).toBe(0);
      expect(bytes(channels)).toBeLessThanOrEqual(MOST_SOUND_BYTES);
      expect(bytes(channels)).toBeGreaterThan(MOST_SOUND_BYTES - 8);
    }
  });
});
