import { expect, test } from "vitest";
import { findMpegStream, readMpegHeader, skipId3, startsMpegAudio } from "../../src/audio/mpeg-frames.ts";
import { fixture } from "./samples.ts";
import { concat, text } from "./wav-builder.ts";

test("readMpegHeader is null where no header stands", () => {
  for (const bytes of [[], [0xff], [0xff, 0xfb, 0x90], [0xff, 0xf1, 0x90, 0], [0, 0xfb, 0x90, 0]]) {
    expect(readMpegHeader(Uint8Array.from(bytes), 0)).toBeNull();
  }
  // reserved version, free format, forbidden bit rate, reserved rate
  for (const bytes of [
    [0xff, 0xeb, 0x90, 0],
    [0xff, 0xfb, 0x00, 0],
    [0xff, 0xfb, 0xf0, 0],
    [0xff, 0xfb, 0x9c, 0],
  ]) {
    expect(readMpegHeader(Uint8Array.from(bytes), 0)).toBeNull();
  }
});

// Lengths by the formula of ISO/IEC 11172-3 clause 2.4.3.1: 144 bit rate / sampling frequency in layers II and III,
// four times the floor of 12 bit rate / sampling frequency in layer I; half as many in layer III of version 2.
test("readMpegHeader gives length, rate and samples of a frame of each layer and version", () => {
  const read = (...bytes: number[]) => readMpegHeader(Uint8Array.from(bytes), 0);
  expect(read(0xff, 0xfb, 0x90, 0x00)).toMatchObject({
    layer: 3,
    byteLength: 417,
    sampleRateHz: 44100,
    samples: 1152,
  });
  expect(read(0xff, 0xfb, 0x92, 0xc0)).toMatchObject({ byteLength: 418, mono: true });
  expect(read(0xff, 0xfd, 0xa4, 0x00)).toMatchObject({
    layer: 2,
    byteLength: 576,
    sampleRateHz: 48000,
    samples: 1152,
  });
  expect(read(0xff, 0xff, 0x10, 0x00)).toMatchObject({
    layer: 1,
    byteLength: 32,
    sampleRateHz: 44100,
    samples: 384,
  });
  expect(read(0xff, 0xf3, 0x80, 0x00)).toMatchObject({
    version: "2",
    byteLength: 208,
    sampleRateHz: 22050,
    samples: 576,
  });
  expect(read(0xff, 0xe3, 0x18, 0x00)).toMatchObject({
    version: "2.5",
    byteLength: 72,
    sampleRateHz: 8000,
    samples: 576,
  });
});

test("skipId3 steps over a tag, and not over one that claims to be longer than the file", () => {
  const tag = (size: number[]) => concat([text("ID3"), Uint8Array.of(4, 0, 0, ...size), new Uint8Array(200)]);
  expect(skipId3(tag([0, 0, 1, 2]))).toBe(10 + 128 + 2);
  expect(skipId3(tag([0x7f, 0x7f, 0x7f, 0x7f]))).toBe(0);
  expect(skipId3(text("ID3"))).toBe(0);
});

const FRAME = concat([Uint8Array.of(0xff, 0xfb, 0x90, 0x00), new Uint8Array(413)]);
const OTHER_RATE = concat([Uint8Array.of(0xff, 0xfb, 0x94, 0x00), new Uint8Array(380)]);

test("startsMpegAudio asks for a second frame, or for the end of the file behind the first", () => {
  expect(startsMpegAudio(FRAME)).toBe(true);
  expect(startsMpegAudio(concat([FRAME, new Uint8Array(9)]))).toBe(false);
  expect(startsMpegAudio(concat([new Uint8Array(999), FRAME, FRAME, new Uint8Array(9)]))).toBe(true);
  expect(startsMpegAudio(new Uint8Array(70000))).toBe(false);
});

test("findMpegStream ends the run at the first frame that is damaged, cut or of another stream", () => {
  const run = (...behind: Uint8Array[]) => findMpegStream(concat([FRAME, FRAME, FRAME, ...behind]))!;
  expect(run()).toMatchObject({ frameCount: 3, broken: false });
  expect(run(text("TAG"), new Uint8Array(125))).toMatchObject({ frameCount: 3, broken: false });
  expect(run(new Uint8Array(500))).toMatchObject({ frameCount: 3, broken: false });
  expect(run(FRAME.subarray(0, 300))).toMatchObject({ frameCount: 3, broken: true });
  expect(run(text("noise"), FRAME)).toMatchObject({ frameCount: 3, broken: true });
  expect(run(OTHER_RATE, OTHER_RATE)).toMatchObject({ frameCount: 3, broken: true });
  expect(run(text("TAG")).frameBytes).toHaveLength(3 * 417);
});

test("findMpegStream reads the encoder's count of frames", () => {
  // 12 000 samples, 1105 of delay before and the decoder's 529 behind: 12 frames of 1152, and the note's own
  const stream = findMpegStream(fixture("tone.mp3"))!;
  expect(stream).toMatchObject({ frameCount: 13, promisedFrameCount: 12, broken: false });
  expect(findMpegStream(FRAME)!.promisedFrameCount).toBeNull();
});
