import { expect, test } from "vitest";
import { findFlacFrames, readFlacStart } from "../../src/audio/flac-frames.ts";
import { fixture, packageSample } from "./samples.ts";
import { concat, text } from "./wav-builder.ts";

const DEEP = fixture("deep.flac");
const START = readFlacStart(DEEP, 0)!;

test("readFlacStart is null where the header is cut or does not begin with STREAMINFO", () => {
  for (let end = 0; end < START.firstFrame; end++) expect(readFlacStart(DEEP.subarray(0, end), 0)).toBeNull();
  const padding = concat([text("fLaC"), Uint8Array.of(0x81, 0, 0, 4, 0, 0, 0, 0)]);
  expect(readFlacStart(padding, 0)).toBeNull();
});

test("readFlacStart reads the sample count", () => {
  expect(START.totalSamples).toBe(960);
  expect(readFlacStart(packageSample("perc_bell.flac"), 0)!.totalSamples).toBe(296317);
  expect(readFlacStart(packageSample("perc_bell2.flac"), 0)!.totalSamples).toBe(240546);
});

test("findFlacFrames cuts a whole stream into its frames without a gap", () => {
  const { frames, broken } = findFlacFrames(DEEP, START.firstFrame);
  expect([frames.length, broken]).toEqual([960 / 192, false]);
  expect(concat(frames)).toEqual(DEEP.subarray(START.firstFrame));
});

test("findFlacFrames passes over zeros behind the last frame and minds anything else", () => {
  const zeros = findFlacFrames(concat([DEEP, new Uint8Array(4096)]), START.firstFrame);
  expect([zeros.frames.length, zeros.broken]).toEqual([5, false]);
  expect(concat(zeros.frames)).toEqual(DEEP.subarray(START.firstFrame));
  const junk = findFlacFrames(concat([DEEP, text("junk")]), START.firstFrame);
  expect([junk.frames.length, junk.broken]).toEqual([4, true]);
});

test("findFlacFrames ends before a damaged frame, whichever of its bytes is wrong", () => {
  const { frames } = findFlacFrames(DEEP, START.firstFrame);
  const third = START.firstFrame + frames[0].length + frames[1].length;
  for (let i = 0; i < frames[2].length; i++) {
    const damaged = Uint8Array.from(DEEP);
    damaged[third + i] ^= 0x10;
    const run = findFlacFrames(damaged, START.firstFrame);
    expect(run.broken).toBe(true);
    // A damaged header also hides where the frame before ends
    expect(run.frames.length).toBeGreaterThanOrEqual(1);
    expect(run.frames.length).toBeLessThanOrEqual(2);
  }
});

test("findFlacFrames ends where a frame is missing", () => {
  const { frames } = findFlacFrames(DEEP, START.firstFrame);
  const gap = concat([frames[0], frames[1], frames[3], frames[4]]);
  expect(findFlacFrames(gap, 0)).toEqual({ frames: frames.slice(0, 2), broken: true });
});

test("findFlacFrames finds none in bytes that hold none", () => {
  expect(findFlacFrames(new Uint8Array(0), 0)).toEqual({ frames: [], broken: false });
  expect(findFlacFrames(new Uint8Array(100).fill(0xff), 0)).toEqual({ frames: [], broken: true });
});
