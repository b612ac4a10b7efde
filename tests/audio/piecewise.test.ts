import { expect, test } from "vitest";
import {
  channelStatistics,
  findClipping,
  type Samples,
  samplesOf,
  sourceOfBytes,
} from "../../src/audio/index.ts";
import { openWav } from "../../src/audio/wav.ts";
import { createRandom } from "./samples.ts";
import { data, floatBytes, fmtChunk, pcmBytes, riff } from "./wav-builder.ts";

/** The same samples, never all in memory. */
function piecewise(samples: Samples): Samples {
  return { ...samples, held: null, read: (from, to) => samples.read(from, to).map((x) => x.slice()) };
}

test("openWav reads any stretch of a file that is not held as of one that is, in every size and coding", () => {
  const random = createRandom(5);
  const frames = 70_000;
  const values = Array.from({ length: 2 * frames }, () => random() - 0.5);
  const files = [1, 2, 3, 4].map((bytesPerValue) => {
    const codes = values.map((v) => Math.round(v * 2 ** (8 * bytesPerValue - 1)));
    return riff([fmtChunk({ channels: 2, bits: 8 * bytesPerValue }), data(pcmBytes(codes, bytesPerValue))]);
  });
  for (const bytesPerValue of [4, 8] as const) {
    const format = fmtChunk({ channels: 2, bits: 8 * bytesPerValue, code: 3 });
    files.push(riff([format, data(floatBytes(values, bytesPerValue))]));
  }
  for (const bytes of files) {
    const held = openWav(sourceOfBytes(bytes));
    const long = openWav(sourceOfBytes(bytes), 0);
    expect(held.held).not.toBeNull();
    expect(long.held).toBeNull();
    expect(long.sampleCount).toBe(frames);
    for (const [from, to] of [
      [0, 0],
      [0, 1],
      [65_535, 65_537],
      [12_345, 69_999],
      [frames - 1, frames],
    ])
      expect(long.read(from, to)).toEqual(held.read(from, to));
  }
});

test("openWav of a file that ends before its samples while it is read refuses to go on", () => {
  const bytes = riff([fmtChunk(), data(pcmBytes([1, 2, 3, 4], 2))]);
  let length = bytes.length;
  const source = {
    byteLength: bytes.length,
    readAt: (offset: number, count: number) => bytes.subarray(offset, Math.min(length, offset + count)),
  };
  const recording = openWav(source, 0);
  length -= 4;
  expect(recording.read(0, 2)[0]).toHaveLength(2);
  expect(() => recording.read(0, 4)).toThrow("became shorter");
});

test("findClipping finds the same flat tops across the blocks in which it reads, however long they are", () => {
  const random = createRandom(6);
  const wave = Float32Array.from({ length: 200_000 }, (_, i) => {
    const x = 1.3 * Math.sin(i * 0.031) * Math.sin(i * 0.00007) + 0.01 * random();
    return Math.max(-1, Math.min(1, x));
  });
  // One top across the end of the first block, and one longer than what is read beside a block.
  wave.fill(1, 65_530, 65_545);
  wave.fill(1, 120_000, 124_000);
  const samples = samplesOf([wave, wave.map((x) => 0.5 * x)]);
  const found = findClipping(piecewise(samples));
  expect(found).toEqual(findClipping(samples, channelStatistics(samples)));
  expect(found.stretches.some(([start, end]) => start <= 65_530 && end >= 65_545)).toBe(true);
  expect(found.stretches.some(([start, end]) => start <= 120_000 && end >= 124_000)).toBe(true);
});

test("findClipping keeps a bounded number of stretches of a recording that clips without end", () => {
  const tops = 70_000;
  const wave = Float32Array.from({ length: 6 * tops }, (_, i) => [0.2, 1, 1, 1, 0, -0.4][i % 6]);
  // The distance of two codes.
  wave[5] = 0;
  wave[4] = 2 ** -15;
  const { clippedSamples, stretches } = findClipping(samplesOf([wave]));
  expect(clippedSamples).toBe(3 * tops);
  expect(stretches.length).toBeLessThanOrEqual(65_536);
});
