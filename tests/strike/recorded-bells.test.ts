import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { decodeRecording } from "../../src/audio/index.ts";
import { findStrikes, sustainOf } from "../../src/strike/index.ts";

/** Two struck bells, CC0-1.0, from the package supersonic-scsynth-samples (Freesound 221515 and 415559); cut at the blow. */
async function recorded(name: string): Promise<{ channels: Float32Array[]; sampleRateHz: number }> {
  const url = new URL(`../../node_modules/supersonic-scsynth-samples/samples/${name}.flac`, import.meta.url);
  return decodeRecording(new Uint8Array(readFileSync(url)));
}

describe.each(["perc_bell", "perc_bell2"])("the recording %s", (name) => {
  it("findStrikes() finds one strike from the first sample to the end, in both channels and in each", async () => {
    const { channels, sampleRateHz } = await recorded(name);
    for (const used of [channels, [channels[0]], [channels[1]]]) {
      const { strikes, best } = findStrikes(used, sampleRateHz);
      expect(strikes).toHaveLength(1);
      expect(best).toBe(0);
      expect(strikes[0]).toMatchObject({
        onsetSample: 0,
        onsetSeen: false,
        endedBy: "end of recording",
        rattle: false,
      });
      // Both are struck more than once within their first tenths of a second; what remains is nearly all.
      expect(strikes[0].ringStartSample / sampleRateHz).toBeLessThan(0.25);
      expect(strikes[0].endSample).toBe(used[0].length);
    }
  });
});

describe("the recording perc_bell", () => {
  it("findStrikes() hears the first touch and the blow 16 ms later", async () => {
    const { channels, sampleRateHz } = await recorded("perc_bell");
    // The level of 1 ms rises by 20 dB there (read off the waveform).
    const blow = findStrikes(channels, sampleRateHz).strikes[0].contactSamples[1] / sampleRateHz;
    expect(blow).toBeGreaterThan(0.0155);
    expect(blow).toBeLessThan(0.017);
  });

  it("sustainOf() finds a quick early decay and a slow late one", async () => {
    const { channels, sampleRateHz } = await recorded("perc_bell");
    const { edtS, t20S } = sustainOf(channels, sampleRateHz, 0, channels[0].length, null);
    // Slopes of an independent reading of the levels per 0.1 s: 10 dB in 0.2 s, then 20 dB from 0.2 s to 1.4 s.
    expect(edtS!.value).toBeGreaterThan(0.8);
    expect(edtS!.value).toBeLessThan(1.6);
    expect(t20S!.value).toBeGreaterThan(2);
    expect(t20S!.value).toBeLessThan(5);
  });
});
