import { expect, test } from "vitest";
import { sourceOfBytes } from "../../src/audio/byte-source.ts";
import { findWavChunks } from "../../src/audio/wav-chunks.ts";
import { data, fmtChunk, riff } from "./wav-builder.ts";

const BODY = Uint8Array.of(1, 2, 3, 4);

test("findWavChunks finds nothing in a file that ends with its name", () => {
  expect(findWavChunks(sourceOfBytes(riff([])))).toMatchObject({ fmt: null, data: null });
});

test("findWavChunks reads on behind an odd chunk, padded or not", () => {
  for (const unpadded of [false, true]) {
    const bytes = riff([{ id: "LIST", body: new Uint8Array(5), unpadded }, fmtChunk(), data(BODY)]);
    const { fmt, data: found, searched } = findWavChunks(sourceOfBytes(bytes));
    expect(searched).toBe(false);
    expect(fmt!.end - fmt!.start).toBe(16);
    expect(found).toEqual({ start: bytes.length - 4, end: bytes.length });
  }
});

test("findWavChunks takes the data wherever it stands, before the format too", () => {
  const bytes = riff([data(BODY), fmtChunk()]);
  expect(findWavChunks(sourceOfBytes(bytes))).toMatchObject({
    data: { start: 20, end: 24 },
    promisedDataBytes: 4,
    searched: false,
  });
});

test("findWavChunks takes the first of two data chunks", () => {
  const bytes = riff([fmtChunk(), data(BODY), data(new Uint8Array(9))]);
  expect(findWavChunks(sourceOfBytes(bytes)).data).toEqual({ start: 44, end: 48 });
});

test("findWavChunks gives no promise where the length is written as unknown", () => {
  for (const claimed of [0, 0x7ffff000, 0x80000000, 0xffffffff]) {
    const chunks = findWavChunks(sourceOfBytes(riff([fmtChunk(), data(BODY, claimed)])));
    expect(chunks).toMatchObject({ promisedDataBytes: null, data: { start: 44, end: 48 } });
  }
});

test("findWavChunks comes to an end on zeros and on names without end", () => {
  const zeros = riff([fmtChunk(), { id: "JUNK", body: new Uint8Array(100000), claimedSize: 0 }]);
  expect(findWavChunks(sourceOfBytes(zeros)).data).toBeNull();
  const names = new Uint8Array(100000).fill(0x41);
  expect(findWavChunks(sourceOfBytes(names))).toMatchObject({ fmt: null, data: null });
});
