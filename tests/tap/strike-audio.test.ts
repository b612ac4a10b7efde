import { describe, expect, it } from "vitest";
import { openDecoded } from "../../src/audio/index.ts";
import { type ExaminedRecording, examineRecording, strikeAudio } from "../../src/tap/index.ts";
import { concatenate, recordingOf, struck, tunedModes } from "./bells.ts";

const FS = 16000;
const OFFSET = 0.25;

/** Two strikes, at 0.5 and 3 s, on a channel with an offset beside a silent one. */
function twoStrikes() {
  const parts = [1, 2].map((seed) => struck(tunedModes(400), seed).channels);
  const raised = concatenate(parts)[0].map((v) => v + OFFSET);
  const open = openDecoded(recordingOf([new Float32Array(raised.length), raised], FS));
  const examined = examineRecording("bell.wav", open);
  expect(examined.channels).toEqual([{ channel: 1, offset: expect.closeTo(OFFSET, 3) }]);
  return { x: raised.map((v) => v - examined.channels[0].offset), open, examined };
}

const withQuiet = (
  examined: ExaminedRecording,
  startSample: number,
  endSample: number,
): ExaminedRecording => ({
  ...examined,
  quiet: { startSample, endSample, where: "before the strike" },
});

describe("strikeAudio", () => {
  it("strikeAudio reads the chosen channel alone, without its offset, from just before the blow to the end", () => {
    const { x, open, examined } = twoStrikes();
    for (const index of [0, 1]) {
      const { ring, firstSample } = strikeAudio(open, { ...examined, quiet: null }, index);
      const { strike, endSample } = examined.strikes[index];
      expect(ring.channels).toHaveLength(1);
      expect(ring.onsetSample + firstSample).toBe(strike.onsetSample);
      expect(ring.ringStartSample + firstSample).toBe(strike.ringStartSample);
      expect(ring.endSample + firstSample).toBe(endSample);
      expect(ring.channels[0]).toHaveLength(ring.endSample);
      expect(ring.onsetSample).toBe(0.1 * FS);
      expect(ring.channels[0]).toEqual(x.slice(firstSample, endSample));
    }
  });

  it("strikeAudio puts quiet from long before the strike in front of it", () => {
    const { x, open, examined } = twoStrikes();
    const late = examined.strikes.findIndex(({ strike }) => strike.onsetSample > 2 * FS);
    const { ring, quiet, firstSample } = strikeAudio(open, withQuiet(examined, 1000, 5000), late);
    expect(quiet).toMatchObject({ startSample: 0, endSample: 4000 });
    expect(ring.onsetSample).toBe(4000 + 0.1 * FS);
    expect(ring.onsetSample + firstSample).toBe(examined.strikes[late].strike.onsetSample);
    expect(ring.channels[0].slice(0, 4000)).toEqual(x.slice(1000, 5000));
  });

  it("strikeAudio leaves quiet inside its stretch where it is, and puts later quiet behind it", () => {
    const { x, open, examined } = twoStrikes();
    const early = examined.strikes.findIndex(({ strike }) => strike.onsetSample < 2 * FS);
    const { strike, endSample } = examined.strikes[early];
    const inside = strikeAudio(open, withQuiet(examined, strike.onsetSample + 100, endSample - 100), early);
    expect(inside.ring.channels[0]).toHaveLength(inside.ring.endSample);
    expect(inside.quiet!.startSample + inside.firstSample).toBe(strike.onsetSample + 100);
    const behind = strikeAudio(open, withQuiet(examined, endSample + 500, endSample + 900), early);
    expect(behind.quiet).toMatchObject({
      startSample: behind.ring.endSample,
      endSample: behind.ring.endSample + 400,
    });
    expect(behind.ring.channels[0].slice(behind.ring.endSample)).toEqual(
      x.slice(endSample + 500, endSample + 900),
    );
  });

  it("strikeAudio keeps the last 20 s of a long quiet", () => {
    const quietS = 30;
    const { channels } = struck(tunedModes(400), 3, { durationS: quietS + 1, quietS });
    const open = openDecoded(recordingOf(channels, FS));
    const { quiet, ring } = strikeAudio(open, examineRecording("bell.wav", open), 0);
    expect(quiet!.endSample - quiet!.startSample).toBe(20 * FS);
    expect(ring.channels[0].length).toBeLessThan(22 * FS);
  });
});
